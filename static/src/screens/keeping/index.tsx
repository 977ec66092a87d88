/** The room of keeping: the dryer and the jars; what is soaked and steeped comes after it. */
import { later, type Screens } from "../rooms";
import { DryingScreen } from "./drying";
import { DryingForm, DryingPartForm } from "./drying_edit";
import { DryingWeighingForm } from "./drying_weigh";
import { JarScreen } from "./jar";
import { JarForm } from "./jar_form";
import { JarLabels } from "./jar_labels";
import { TakingForm } from "./jar_take";
import { Keeping } from "./keeping";

const soaking = later(() => import("../soaking"));

export const screens: Screens = {
  keeping: ({ id }) => (id === "labels" ? <JarLabels /> : <Keeping />),
  drying: (here) => <DryingScreen {...here} />,
  jar: (here) => <JarScreen {...here} />,
  trial: soaking,
  extract: soaking,
  recipe: soaking,
};

/** The form of each kind, for what the server refused. */
export const forms = {
  drying: DryingForm,
  drying_part: DryingPartForm,
  drying_weighing: DryingWeighingForm,
  jar: JarForm,
  taking: TakingForm,
};
