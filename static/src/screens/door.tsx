/** The door: look round the demo farm, start a farm, sign in, or join one by invitation. */
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { sync } from "../sync";
import { ChoosePassword, NotNow, Pair } from "./door_codes";
import { useKept } from "./kept";
import { Text, Wrong } from "./parts/field";
import { SignIn } from "./parts/sign_in";
import { Form, Tap } from "./parts/tap";
import { type Faults, useDoor } from "./parts/use_door";
import { replaceWith, route } from "./route";

/** By the first word of an address with a code in it. */
const BY_CODE = new Map([
  ["join", Join],
  ["pair", Pair],
  ["password", ChoosePassword],
]);

type Way = "choose" | "start" | "sign in";
const way = signal<Way>("choose");

export function Door() {
  const { server } = sync.door.value;
  const { id: code, name } = route.value;
  const ByCode = code ? BY_CODE.get(name) : undefined;
  const heading = useRef<HTMLHeadingElement>(null);
  // Each way in is a new page for whoever listens
  useEffect(() => {
    document.title = "harvestlog";
    heading.current?.focus();
  }, [way.value, name, code]);
  return (
    <main class="door">
      <img src="/icons/icon.svg" width="72" height="72" alt="" />
      <h1 ref={heading} tabIndex={-1}>
        harvestlog
      </h1>
      {ByCode ? <ByCode code={code} /> : <Ways server={server} />}
    </main>
  );
}

function Ways({ server }: { server: typeof sync.door.value.server }) {
  if (!server) return <NoServer />;
  if (way.value === "start") return <Start />;
  if (way.value === "sign in" || (!server.first_run && !server.demo)) return <Enter demo={server.demo} />;
  return (
    <>
      <p class="lead">
        Which block from whom gave how much, flush by flush. Weigh with no signal; it is sent when there is
        one.
      </p>
      <Choices firstRun={server.first_run} demo={server.demo} />
    </>
  );
}

function NoServer() {
  const asking = sync.pass.value.trouble === null;
  return (
    <>
      <p class="lead">
        {asking ? "Asking the server …" : "The server does not answer. The first time it has to be in reach."}
      </p>
      {!asking && (
        <Tap look="main" onTap={() => sync.tryNow()}>
          Try now
        </Tap>
      )}
    </>
  );
}

function Choices({ firstRun, demo }: { firstRun: boolean; demo: boolean }) {
  const { wrong, busy, run } = useDoor();
  const choose = (chosen: Way) => () => {
    way.value = chosen;
  };
  return (
    <div class="form">
      <Tap look="main" onTap={choose(firstRun ? "start" : "sign in")}>
        {firstRun ? "Start my farm" : "Sign in"}
      </Tap>
      {demo && (
        <Tap onTap={() => run(() => sync.openDemo())}>{busy ? "Wait …" : "Look round the demo farm"}</Tap>
      )}
      {wrong.all && <Wrong>{wrong.all}</Wrong>}
      {firstRun && (
        <Tap look="plain" onTap={choose("sign in")}>
          I have a farm here: sign in
        </Tap>
      )}
    </div>
  );
}

function Enter({ demo }: { demo: boolean }) {
  return (
    <div class="form">
      <SignIn />
      {demo && <Back />}
    </div>
  );
}

function Back() {
  const choose = () => {
    way.value = "choose";
  };
  return (
    <Tap look="plain" onTap={choose}>
      Back
    </Tap>
  );
}

const NOBODY = { name: "", email: "", password: "" };
type Person = typeof NOBODY;

function WhoFields({
  who,
  wrong,
  onChange,
}: {
  who: Person;
  wrong: Faults;
  onChange: (part: Partial<Person>) => void;
}) {
  return (
    <>
      <Text
        name="Your name"
        fill="name"
        value={who.name}
        wrong={wrong.name}
        onText={(name) => onChange({ name })}
      />
      <Text
        name="E-mail"
        type="email"
        keys="email"
        fill="username"
        value={who.email}
        wrong={wrong.email}
        onText={(email) => onChange({ email })}
      />
      <Text
        name="Password"
        type="password"
        fill="new-password"
        hint="A few words in a row are hard to guess."
        value={who.password}
        wrong={wrong.password}
        onText={(password) => onChange({ password })}
      />
    </>
  );
}

function Start() {
  const { shown: who, change } = useKept(NOBODY);
  const [code, setCode] = useState("");
  const [farm, setFarm] = useState("");
  const { wrong, busy, run } = useDoor();
  const start = () =>
    run(async () => {
      await sync.setUp({ ...who, code: code.trim(), farm });
      way.value = "choose";
      replaceWith("#/today");
    });
  return (
    <Form onSave={start} save={busy ? "Wait …" : "Start"} below={<Back />}>
      <h2>Start my farm</h2>
      <Text
        name="Set-up code"
        hint="It stands in the window where the server was started."
        value={code}
        wrong={wrong.code}
        onText={setCode}
      />
      <Text name="Name of the farm" most={80} value={farm} wrong={wrong.farm} onText={setFarm} />
      <WhoFields who={who} wrong={wrong} onChange={change} />
      {wrong.all && <Wrong>{wrong.all}</Wrong>}
    </Form>
  );
}

function Join({ code }: { code: string }) {
  const { shown: who, change } = useKept(NOBODY);
  const { wrong, busy, run } = useDoor();
  const join = () =>
    run(async () => {
      await sync.join({ ...who, code });
      replaceWith("#/today");
    });
  return (
    <Form onSave={join} save={busy ? "Wait …" : "Join"} below={<NotNow />}>
      <h2>Join a farm</h2>
      <p>With an account here already, give its e-mail and password.</p>
      <WhoFields who={who} wrong={wrong} onChange={change} />
      {(wrong.all ?? wrong.code) && <Wrong>{wrong.all ?? wrong.code}</Wrong>}
    </Form>
  );
}
