/** A button for wet hands, and a form that ends in one. */
import type { ComponentChildren } from "preact";

interface TapProps {
  look?: "main" | "heed" | "plain";
  onTap: () => unknown;
  pressed?: boolean;
  open?: boolean;
  off?: boolean;
  name?: string;
  children: ComponentChildren;
}

export function Tap({ look, onTap, pressed, open, off, name, children }: TapProps) {
  return (
    <button
      type="button"
      class={look ? `tap ${look}` : "tap"}
      aria-pressed={pressed}
      aria-expanded={open}
      aria-label={name}
      disabled={off}
      onClick={() => void onTap()}
    >
      {children}
    </button>
  );
}

interface FormProps {
  onSave: () => unknown;
  save?: ComponentChildren;
  /** what stands below the save button */
  below?: ComponentChildren;
  children: ComponentChildren;
}

export function Form({ onSave, save = "Save", below, children }: FormProps) {
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    await onSave();
    // What is wrong may stand above what is seen: the first such field, or the answer to what is asked back, takes the
    // focus, and its sentence is read out.
    requestAnimationFrame(() => form.querySelector<HTMLElement>("[aria-invalid], .wrong + .tap")?.focus());
  };
  return (
    <form class="form" onSubmit={(event) => void submit(event)} noValidate>
      {children}
      <button type="submit" class="tap main">
        {save}
      </button>
      {below}
    </form>
  );
}
