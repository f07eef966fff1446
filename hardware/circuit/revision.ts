/** What drawings, boards and their files are marked with. Raise the letter when a board changes, and date it. */
export const REVISION = { letter: 'C', date: '2026-11-29' } as const;
