/** The rows of soaking trials and of extracts, which come with their own room: it is fetched right after this one. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

type Room = typeof import("../soaking");

const room = signal<Room | null>(null);

export function SoakingRows({ of }: { of: keyof Room["rows"] }) {
  useEffect(() => {
    import("../soaking").then(
      (fetched) => {
        room.value = fetched;
      },
      // Without a signal it comes another time; its own address says so.
      () => undefined,
    );
  }, []);
  const Rows = room.value?.rows[of];
  return Rows ? <Rows /> : null;
}
