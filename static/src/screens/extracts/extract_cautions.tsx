/** Cautions at the act, where spirit is poured, heated near, and an extract is bottled. */

export function SpiritCare() {
  return (
    <div class="care">
      <p>
        Fire: from 40 % up the vapour of spirit can flash at the warmth of a room. No flame and no hot plate
        near it, let air through, and strain the spirit off before anything is heated.
      </p>
      <p>Local rules on spirits come first.</p>
    </div>
  );
}

export function MedicineCare() {
  return (
    <p class="care">
      An extract is no medicine, and it contains alcohol. Ask a clinician before taking it when pregnant, on
      medication or before surgery. Its strength is an estimate.
    </p>
  );
}
