/** An act that cannot be undone: the first tap says what it does, the second does it. */
import { useState } from "preact/hooks";
import { Tap } from "./tap";

interface Props {
  words: string;
  means: string;
  sure: string;
  onDo: () => unknown;
}

export function Twice({ words, means, sure, onDo }: Props) {
  const [asked, setAsked] = useState(false);
  if (!asked) {
    return (
      <Tap look="heed" onTap={() => setAsked(true)}>
        {words}
      </Tap>
    );
  }
  const act = () => {
    setAsked(false);
    return onDo();
  };
  return (
    <fieldset class="form sheet">
      <legend class="unseen">{words}</legend>
      <p role="alert">{means}</p>
      <div class="row">
        <Tap onTap={() => setAsked(false)}>No, leave it</Tap>
        <Tap look="heed" onTap={act}>
          {sure}
        </Tap>
      </div>
    </fieldset>
  );
}
