/** The words of what is to come: fetched with its arithmetic, so that the first screen need not wait for them. */
export { DriedShareSaid } from "./parts/dried_share_said";
export { KeptDueSaid } from "./parts/kept_due_said";
export { SpeciesNotesSaid } from "./parts/species_notes_said";
export { StillToComeSaid } from "./parts/still_to_come_said";
