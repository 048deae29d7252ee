import { Reader } from './reader';

export default function Page() {
  return (
    <main>
      <h1>A set</h1>
      <Reader />
    </main>
  );
}
