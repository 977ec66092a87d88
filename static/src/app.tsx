/** The app on the phone: opens what the phone remembers, draws it, and lets sync run beside it. */
import "./look/look.css";
import { render } from "preact";
import { startClock } from "./screens/here";
import { fetchRooms } from "./screens/rooms";
import { watchRoute } from "./screens/route";
import { busy, say } from "./screens/saving";
import { Screens } from "./screens/screens";
import { registerWorker } from "./sw/register";
import { sync } from "./sync";

async function open(): Promise<void> {
  const place = document.getElementById("app");
  if (!place) return;
  watchRoute();
  startClock();
  try {
    await sync.start();
  } catch (error) {
    // Without its storage the phone can keep nothing: better said than drawn.
    place.textContent = `This browser lets the app keep nothing (${String(error)}). Leave private browsing, or try another browser.`;
    return;
  }
  render(<Screens />, place);
  void fetchRooms();
}

void open();
registerWorker({
  busy: () => busy() || sync.pass.peek().now !== "resting",
  waiting: () => say("A new version is here. It opens by itself once you are not writing."),
}).catch(() => undefined);
