/** What of the kept crop needs a hand today: the dryer, the jars, the extracts. Its words come with its arithmetic. */
import { foreseen } from "../coming";
import type { KeepingDue } from "../due";

export function KeptDue({ dues }: { dues: readonly KeepingDue[] }) {
  const Said = foreseen.value?.KeptDueSaid;
  return Said && dues.length > 0 ? <Said dues={dues} /> : null;
}
