/** What can be wrong with the numbers given to a calculation, one name for each meaning. */

/** A figure that cannot be used; the message shows it and says what to do. */
export class Unacceptable extends Error {
  override name = "Unacceptable";
}

/** Text, nothing, true or false, NaN or infinity where a number is wanted. */
export class NotANumber extends Unacceptable {
  override name = "NotANumber";
}

/** Numbers so far apart that their quotient is no number any more. */
export class OutOfReach extends Unacceptable {
  override name = "OutOfReach";
}

/** A mass, time or percentage below zero. */
export class BelowZero extends Unacceptable {
  override name = "BelowZero";
}

/** Zero where something must be there to divide by. */
export class IsZero extends Unacceptable {
  override name = "IsZero";
}

/** A water content that is not at least 0 and below 100 %. */
export class MoistureOutOfRange extends Unacceptable {
  override name = "MoistureOutOfRange";
}

/** The low end of a range above its high end. */
export class RangeUpsideDown extends Unacceptable {
  override name = "RangeUpsideDown";
}

/** A dry mass above the wet mass it is said to come from. */
export class DryAboveWet extends Unacceptable {
  override name = "DryAboveWet";
}

/** A dried mushroom with more water than the fresh one. */
export class WetterThanFresh extends Unacceptable {
  override name = "WetterThanFresh";
}

/** Shares of a harvest that weighs nothing. */
export class NothingPicked extends Unacceptable {
  override name = "NothingPicked";
}

/** A flush number that is not 1, 2, 3 and so on. */
export class NotAFlush extends Unacceptable {
  override name = "NotAFlush";
}

/** A dry basis that is none of the five known ones. */
export class UnknownBasis extends Unacceptable {
  override name = "UnknownBasis";
}

/** A dry basis without the figures it rests on. */
export class BasisIncomplete extends Unacceptable {
  override name = "BasisIncomplete";
}

/** An instant or a day that is none. */
export class NotATime extends Unacceptable {
  override name = "NotATime";
}
