import type { ReactNode } from 'react';

export const metadata = { title: 'Underfoot with Next' };

export default function Layout({ children }: { children: ReactNode }) {
  return (
    <html lang="en">
      <body>{children}</body>
    </html>
  );
}
