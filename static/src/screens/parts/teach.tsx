/** An empty screen: one sentence on what to do next, and the button for it. */
interface Props {
  words: string;
  act?: string;
  to?: string;
}

export function Teach({ words, act, to }: Props) {
  return (
    <div class="teach">
      <p>{words}</p>
      {act && to && (
        <a class="tap main" href={to}>
          {act}
        </a>
      )}
    </div>
  );
}
