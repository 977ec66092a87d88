export type {
  Change,
  Device,
  Errand,
  FarmStore,
  Heard,
  Outvoted,
  Parked,
  Picture,
  Row,
  Seen,
  Whereabouts,
} from "./api";
export { NotSaved, ofKind, Refused } from "./api";
export type { Late, Page, Result } from "./arrivals";
export type { FarmDevice } from "./farm";
export { Farm } from "./farm";
export { newId } from "./ids";
export { PhoneMemory } from "./phone";
export type { Pair } from "./pictures";
export { makePictures } from "./pictures";
export type { Entry, Witness } from "./schema";
