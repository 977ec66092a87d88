/** The room of keeping: what there is of it, and the dryer. Jars and what is soaked or steeped are rooms that come after it. */
import { later, type Screens } from "../rooms";
import { DryingScreen } from "./drying";
import { DryingForm, DryingPartForm } from "./drying_edit";
import { DryingWeighingForm } from "./drying_weigh";
import { JarLabels } from "./jar_labels";
import { Keeping } from "./keeping";

const jars = later(() => import("../jars"));
const soaking = later(() => import("../soaking"));
const extracts = later(() => import("../extracts"));

export const screens: Screens = {
  keeping: ({ id }) => (id === "labels" ? <JarLabels /> : <Keeping />),
  drying: (here) => <DryingScreen {...here} />,
  jar: jars,
  trial: soaking,
  recipe: soaking,
  extract: extracts,
};

/** The form of each kind, for what the server refused. */
export const forms = { drying: DryingForm, drying_part: DryingPartForm, drying_weighing: DryingWeighingForm };
