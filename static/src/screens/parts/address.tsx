/** An address that is shown only now: sent on through the phone's own sheet, copied, or read by another phone's camera. */
import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";
import { once, say } from "../saving";
import { copy, send } from "../send_on";
import { Tap } from "./tap";

interface Props {
  address: string;
  /** what the phone's sheet calls it */
  title: string;
  /** it as a QR code, where the server drew one */
  picture?: string | undefined;
  /** what the QR code is for, to whoever cannot see it */
  alt?: string;
  children: ComponentChildren;
}

/** `children` say what it is for and how long it lasts: the server keeps no more than a hash of it. */
export function Address({ address, title, picture, alt, children }: Props) {
  const shown = useRef<HTMLSpanElement>(null);
  const copied = () =>
    once("copy address", async () => {
      await copy(address, shown.current);
      say("Copied.");
    });
  return (
    <div class="form sheet">
      <p role="status">{children}</p>
      {picture && <img src={picture} width="264" height="264" alt={alt ?? ""} />}
      <span class="address" ref={shown}>
        {address}
      </span>
      <div class="row">
        {"share" in navigator && (
          <Tap look="main" onTap={() => once("send address", () => send(address, title))}>
            Send it
          </Tap>
        )}
        <Tap onTap={copied}>Copy</Tap>
      </div>
    </div>
  );
}
