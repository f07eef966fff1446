import { describe, expect, test } from 'vitest';
import { breaches } from '../../hardware/checks/rule';
import { RULES } from '../../hardware/checks/rules';
import { CIRCUIT } from '../../hardware/circuit/circuit';
import { MUTATIONS } from '../../hardware/mutations/all';
import { HARMLESS } from '../../hardware/mutations/harmless';

describe('the reference circuit', () => {
  test('keeps every rule', () => {
    expect(breaches(CIRCUIT, RULES).map((breach) => breach.sentence)).toEqual([]);
  });

  test('each rule names a source', () => {
    for (const rule of RULES) {
      expect(rule.statement, rule.id).toMatch(/\.$/);
      expect(rule.source.length, rule.id).toBeGreaterThan(10);
    }
  });
});

describe('a circuit with a mistake in it is refused, with part, net and rule', () => {
  test.each(MUTATIONS.map((one) => [one.what, one] as const))('%s', (_, one) => {
    const rules = RULES.filter(({ id }) => id === one.rule);
    const found = breaches(one.circuit, rules);
    expect(found.map((breach) => breach.part)).toContain(one.part);
    const breach = found.find((candidate) => candidate.part === one.part);
    expect(breach?.net).toContain(one.net);
    expect(breach?.sentence).toContain(one.part);
    expect(breach?.sentence).toContain(`Rule ${one.rule}: `);
  });

  test('each mistake is there once, and really is one', () => {
    const names = [...MUTATIONS, ...HARMLESS].map(({ what }) => what);
    expect(new Set(names).size).toBe(names.length);
    for (const { what, circuit } of [...MUTATIONS, ...HARMLESS]) {
      expect(JSON.stringify(circuit), what).not.toBe(JSON.stringify(CIRCUIT));
    }
  });

  test('every rule that looks at the netlist has at least one such mistake here', () => {
    const tried = new Set(MUTATIONS.map(({ rule }) => rule));
    const untried = RULES.map((rule) => rule.id).filter((id) => !tried.has(id));
    // Looks at the table of trays and cells only; `budgets.test.ts` tries it.
    expect(untried).toEqual(['cell-carries-tray']);
  });
});

describe('a change that is no fault is let pass, and has a reason', () => {
  test.each(HARMLESS.map((one) => [one.what, one] as const))('%s', (_, { circuit, because }) => {
    expect(breaches(circuit, RULES).map(({ sentence }) => sentence)).toEqual([]);
    expect(because.length).toBeGreaterThan(20);
  });
});
