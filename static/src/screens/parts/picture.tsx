/** A photo kept on this phone, or fetched once and kept; words in its place while neither is possible. */
import { useEffect, useState } from "preact/hooks";
import { store } from "../here";

interface Props {
  sha256: string;
  alt: string;
  whole?: boolean;
}

export function Picture({ sha256, alt, whole = false }: Props) {
  const [url, setUrl] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let wanted = true;
    const show = (found: string | undefined) => {
      if (wanted) setUrl(found ?? null);
    };
    store()
      .pictureUrl(sha256)
      .then(show, () => show(undefined));
    return () => {
      wanted = false;
    };
  }, [sha256]);
  const look = whole ? "picture whole" : "picture";
  if (url) return <img class={look} src={url} alt={alt} />;
  return (
    <span class={look} role="img" aria-label={alt}>
      {url === null ? "Not on this phone" : ""}
    </span>
  );
}
