/** Small drawn signs; each stands beside a word or has one read aloud. */
const PATHS = {
  back: "M15 4 7 12l8 8",
  rub: "M9 6h12v12H9l-6-6zM12.500 9.500l5 5m0-5-5 5",
  sent: "M4 13l5 5L20 6",
  here: "M8 3h8a1 1 0 0 1 1 1v16a1 1 0 0 1-1 1H8a1 1 0 0 1-1-1V4a1 1 0 0 1 1-1zM11 18h2",
  heed: "M12 4v10M12 18.500v.5",
  camera: "M4 8h4l2-3h4l2 3h4v11H4zM12 10.500a3 3 0 1 0 0 6 3 3 0 0 0 0-6z",
} as const;

export function Sign({ of, size = 20 }: { of: keyof typeof PATHS; size?: number }) {
  return (
    <svg viewBox="0 0 24 24" width={size} height={size} aria-hidden="true">
      <path
        d={PATHS[of]}
        fill="none"
        stroke="currentColor"
        stroke-width="2.5"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </svg>
  );
}
