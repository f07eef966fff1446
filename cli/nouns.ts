/** The program's nouns, and where the verbs of each are. */
import type { Command } from 'commander';
import type { Act } from './context';

/** What a file in `commands/` exports: it gives its noun verbs, options and actions. */
export interface NounModule {
  register(noun: Command, act: Act): void;
}

/** A noun of the command line; its file is loaded only when it is used. */
export interface Noun {
  readonly name: string;
  readonly summary: string;
  /** Its results are reckoned from readings and tables: they are printed with the digits that are known. */
  readonly reckons?: true;
  load(): Promise<NounModule>;
}

/** In the order of the help text. */
export const NOUNS: readonly Noun[] = [
  {
    name: 'find',
    summary: 'list the controllers that answer',
    load: () => import('./commands/find'),
  },
  {
    name: 'status',
    summary: 'how the tray stands now',
    load: () => import('./commands/status'),
  },
  {
    name: 'watch',
    summary: 'the same, live, until Ctrl-C',
    load: () => import('./commands/watch'),
  },
  {
    name: 'explain',
    summary: 'what went wrong since yesterday, why, and what to do now',
    load: () => import('./commands/explain'),
  },
  {
    name: 'report',
    summary: 'the same as one page with plots, to print, mail or keep',
    load: () => import('./commands/report'),
  },
  {
    name: 'away',
    summary: 'can the tray be left for so long, and what ends that',
    load: () => import('./commands/away'),
  },
  {
    name: 'tray',
    summary: 'what this very tray tells of its mat, pump and scale',
    load: () => import('./commands/tray'),
  },
  {
    name: 'profile',
    summary: 'write, check, load, read back and compare crop profiles',
    load: () => import('./commands/profile'),
  },
  {
    name: 'rehearse',
    summary: 'what a profile will do in your room, tried on a simulated tray',
    load: () => import('./commands/rehearse'),
  },
  {
    name: 'crop',
    summary: 'what each crop wants: temperatures, days, feed, light, spacing',
    reckons: true,
    load: () => import('./commands/crop'),
  },
  {
    name: 'scale',
    summary: 'zero, calibrate and check the tray scale',
    load: () => import('./commands/scale'),
  },
  {
    name: 'probe',
    summary: 'check and calibrate the probes, and say which NTCs they are',
    load: () => import('./commands/probe'),
  },
  {
    name: 'pump',
    summary: 'prime and calibrate the pump',
    load: () => import('./commands/pump'),
  },
  {
    name: 'feed',
    summary: 'the strength of a feed, and how to mix it',
    reckons: true,
    load: () => import('./commands/feed'),
  },
  {
    name: 'light',
    summary: 'light of a day, lux, and how high a lamp hangs',
    reckons: true,
    load: () => import('./commands/light'),
  },
  {
    name: 'air',
    summary: 'what temperature and humidity mean for leaves and lid',
    reckons: true,
    load: () => import('./commands/air'),
  },
  {
    name: 'plan',
    summary: 'from a date and a number of plants to seeds, dates and tasks',
    reckons: true,
    load: () => import('./commands/plan'),
  },
  {
    name: 'agenda',
    summary: 'what is to be done next, by plans and by the tray',
    reckons: true,
    load: () => import('./commands/agenda'),
  },
  {
    name: 'seed',
    summary: 'count what comes up, and judge the seed by it',
    reckons: true,
    load: () => import('./commands/seed'),
  },
  {
    name: 'water',
    summary: 'test the water, bring it down with acid, soak the wool',
    reckons: true,
    load: () => import('./commands/water'),
  },
  {
    name: 'mark',
    summary: 'tell the controller what you did or saw',
    load: () => import('./commands/mark'),
  },
  {
    name: 'stage',
    summary: 'go to the next stage, or stay',
    load: () => import('./commands/stage'),
  },
  {
    name: 'alarm',
    summary: 'list alarms; say that you have seen or mended one',
    load: () => import('./commands/alarm'),
  },
  {
    name: 'keep',
    summary: 'a keeper for the room: watches all trays, and tells people',
    load: () => import('./commands/keep'),
  },
  {
    name: 'page',
    summary: 'one tray as a page for a phone, live, without a keeper',
    load: () => import('./commands/page'),
  },
  {
    name: 'fleet',
    summary: 'many rooms: all journals in one database, and questions to it',
    load: () => import('./commands/fleet'),
  },
  {
    name: 'journal',
    summary: 'pull, show and export what happened',
    load: () => import('./commands/journal'),
  },
  {
    name: 'clock',
    summary: "set the controller's clock",
    load: () => import('./commands/clock'),
  },
  {
    name: 'bench',
    summary: 'a simulated tray to try things on',
    load: () => import('./commands/bench'),
  },
  {
    name: 'board',
    summary: 'the image on to a controller, and its updates; try one that was built',
    load: () => import('./commands/board'),
  },
  {
    name: 'hardware',
    summary: 'check the circuit for your tray, load cell, mat and room',
    load: () => import('./commands/hardware'),
  },
  {
    name: 'completion',
    summary: 'let your shell complete commands and options',
    load: () => import('./commands/completion'),
  },
];
