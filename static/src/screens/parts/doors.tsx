/** A list of ways on, each with a word on what lies behind it. */
export function Doors({ to }: { to: readonly (readonly [address: string, name: string, more: string])[] }) {
  return (
    <ul class="list">
      {to.map(([address, name, more]) => (
        <li key={address}>
          <a class="room" href={address}>
            <strong>{name}</strong>
            <span class="quiet small">{more}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}
