/** `find`: the controllers that answer. */
import type { Command } from 'commander';
import type { Act } from '../context';
import { CommandError } from '../failure';
import { table } from '../terminal/output';

export function register(noun: Command, act: Act): void {
  noun.action(
    act({}, async (context) => {
      const controllers = await context.world.findControllers();
      if (controllers.length === 0) {
        throw new CommandError(
          'no-controller',
          'none-found',
          'No controller answered on any serial port.',
          'Check the cable and the power; a bench is reached by its address, --port tcp://127.0.0.1:PORT.',
        );
      }
      const rows = controllers.map(({ port, hello }) => [port, hello.boardId, hello.firmware]);
      const columns = [{ title: 'port' }, { title: 'controller' }, { title: 'firmware' }];
      return { result: { controllers }, text: table(columns, rows, context.style) };
    }),
  );
}
