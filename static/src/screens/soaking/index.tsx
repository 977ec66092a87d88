/** The room of what goes back into water: soaking trials, and how much to soak in the kitchen. Fetched after keeping. */
import type { Screens } from "../rooms";
import { Recipe } from "./recipe";
import { TrialScreen } from "./trial";
import { TrialForm } from "./trial_form";
import { TrialRows } from "./trial_rows";
import { TrialWeighingForm } from "./trial_weigh";

export const screens: Screens = {
  trial: (here) => <TrialScreen {...here} />,
  recipe: (here) => <Recipe {...here} />,
};

/** The form of each kind, for what the server refused. */
export const forms = { trial: TrialForm, trial_weighing: TrialWeighingForm };

/** What the front page of keeping shows of them. */
export const Rows = TrialRows;
