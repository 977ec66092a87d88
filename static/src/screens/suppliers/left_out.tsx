/** What the server could not use, and what to do about it. */
export function LeftOut({ troubles }: { troubles: readonly string[] }) {
  if (troubles.length === 0) return null;
  return (
    <section>
      <h2>Left out</h2>
      {troubles.map((trouble) => (
        <p key={trouble}>{trouble}</p>
      ))}
    </section>
  );
}
