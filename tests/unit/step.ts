import type fc from 'fast-check';

/** One step of a test against a model, by its own `words` in a failure. It says itself what must hold after it. */
export class Step<Model extends object, Real> implements fc.Command<Model, Real> {
  constructor(
    readonly words: string,
    readonly act: (model: Model, real: Real) => void,
    readonly can: (model: Readonly<Model>) => boolean = () => true,
  ) {}

  check(model: Readonly<Model>): boolean {
    return this.can(model);
  }

  run(model: Model, real: Real): void {
    this.act(model, real);
  }

  toString(): string {
    return this.words;
  }
}

/** Steps after each of which `always` is asked. */
export function stepsAsking<Model extends object, Real>(
  always: (model: Model, real: Real) => void,
) {
  return (words: string, act: (model: Model, real: Real) => void) =>
    new Step<Model, Real>(words, (model, real) => {
      act(model, real);
      always(model, real);
    });
}
