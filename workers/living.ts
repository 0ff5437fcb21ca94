/** What every worker answers to besides its work; shared by the workers and the page. */
export interface Living {
  /** Answers as soon as the worker hears anything: a sign of life. */
  alive(): void
}
