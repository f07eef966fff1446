/** A thread of `rehearse`: tasks come in, rehearsals go out. */
import { parentPort } from 'node:worker_threads';
import { type RehearsalTask, rehearse } from './task';

parentPort?.on('message', (task: RehearsalTask) => parentPort?.postMessage(rehearse(task)));
