/** How the stage's shaders become materials, and their uniforms. */
import * as THREE from 'three'

export function material(
  vertexShader: string,
  fragmentShader: string,
  uniforms: Record<string, THREE.IUniform>,
  more: Partial<THREE.ShaderMaterialParameters> = {},
): THREE.RawShaderMaterial {
  return new THREE.RawShaderMaterial({
    glslVersion: THREE.GLSL3,
    vertexShader,
    fragmentShader,
    uniforms,
    side: THREE.DoubleSide,
    toneMapped: false,
    ...more,
  })
}

export const vec = () => ({ value: new THREE.Vector3() })
export const number = (value = 0) => ({ value })
