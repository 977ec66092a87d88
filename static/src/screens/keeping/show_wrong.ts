/** A long form may be saved far below what it asks back: the question comes into sight, and its answer takes the focus. */
export function showWrong(): void {
  requestAnimationFrame(() => {
    document.querySelector("main .wrong")?.scrollIntoView({ block: "center" });
    document
      .querySelector<HTMLElement>("main [aria-invalid], main .wrong + .tap")
      ?.focus({ preventScroll: true });
  });
}
