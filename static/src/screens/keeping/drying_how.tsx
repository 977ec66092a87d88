/** How a load is dried and weighed: new, or corrected. */
import type { Method } from "../../records/types";
import { METHODS } from "../keeping_words";
import type { Field } from "../parts/bound";
import { Choice, Text } from "../parts/field";

interface Dried {
  method: Method;
  temp: string;
  step: string;
}

export function How({ field }: { field: Field<Dried> }) {
  return (
    <>
      <Choice name="Dried by" {...field("method")} options={Object.entries(METHODS) as [Method, string][]} />
      <div class="side">
        <Text name="Set to, °C" keys="decimal" {...field("temp")} />
        <Text name="Scale step, g" keys="decimal" example="1" {...field("step")} />
      </div>
    </>
  );
}
