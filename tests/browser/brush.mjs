/** Draws the frames of an invented recording: a drop on a bath lit from one side. */

/** Gives the page `drawDrop(context, size, radius)`; lengths in px. */
export const giveBrush = (page) =>
  page.evaluate(() => {
    globalThis.drawDrop = (c, size, radius) => {
      const lamp = c.createRadialGradient(130, 100, 20, 160, 120, 220)
      lamp.addColorStop(0, '#e6cf92')
      lamp.addColorStop(1, '#b59c5e')
      c.fillStyle = lamp
      c.fillRect(0, 0, size.width, size.height)
      c.fillStyle = '#8c2846'
      c.beginPath()
      c.arc(161, 119, radius, 0, 7)
      c.fill()
    }
  })
