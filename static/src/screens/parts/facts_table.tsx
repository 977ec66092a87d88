/** What is noted of a record, name beside value; what is not noted has no line. */
export type Noted = readonly [name: string, value: string | false | undefined];

export function FactsTable({ rows }: { rows: readonly Noted[] }) {
  return (
    <table class="plain">
      <tbody>
        {rows.map(([name, value]) =>
          value ? (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
            </tr>
          ) : null,
        )}
      </tbody>
    </table>
  );
}
