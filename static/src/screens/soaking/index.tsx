/** The room of what goes back into something wet: soaking trials, the kitchen, extracts. Fetched after the jars. */
import { ExtractScreen } from "../keeping/extract";
import { ExtractForm } from "../keeping/extract_form";
import { ExtractRows } from "../keeping/extract_rows";
import { ExtractStepForm } from "../keeping/extract_step";
import { Recipe } from "../keeping/recipe";
import { TrialScreen } from "../keeping/trial";
import { TrialForm } from "../keeping/trial_form";
import { TrialRows } from "../keeping/trial_rows";
import { TrialWeighingForm } from "../keeping/trial_weigh";
import type { Screens } from "../rooms";

export const screens: Screens = {
  trial: (here) => <TrialScreen {...here} />,
  extract: (here) => <ExtractScreen {...here} />,
  recipe: (here) => <Recipe {...here} />,
};

/** The form of each kind, for what the server refused. */
export const forms = {
  trial: TrialForm,
  trial_weighing: TrialWeighingForm,
  extract: ExtractForm,
  extract_step: ExtractStepForm,
};

/** What the front page of keeping shows of them. */
export const rows = { trials: TrialRows, extracts: ExtractRows };
