interface Props {
  to: readonly (readonly [address: string, name: string, more: string])[];
  /** only to be read: behind them is what this role may not change */
  shut?: boolean;
}

/** A list of ways on, each with a word on what lies behind it. */
export function Doors({ to, shut }: Props) {
  return (
    <ul class="list">
      {to.map(([address, name, more]) => (
        <li key={address}>
          <a class="room" {...(shut ? {} : { href: address })}>
            <strong>{name}</strong>
            <span class="quiet small">{more}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}
