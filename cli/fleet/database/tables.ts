/** The tables of a fleet. Part of a step of `schema.ts`: never changed once it has gone out. */

export const TABLES = `
CREATE TABLE fleet.controllers (
  id int GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  board text NOT NULL UNIQUE,
  tray text NOT NULL,
  keeper text NOT NULL,
  first_heard timestamptz NOT NULL DEFAULT now()
);

-- A journal that began anew is another life of its controller.
CREATE TABLE fleet.lives (
  controller int NOT NULL REFERENCES fleet.controllers,
  life smallint NOT NULL,
  begins bigint NOT NULL,
  goes_to bigint NOT NULL,
  covered int8multirange NOT NULL DEFAULT '{}',
  last_sequence bigint NOT NULL,
  last_boot int NOT NULL,
  keeper text NOT NULL,
  mark_sequence bigint NOT NULL,
  mark_crc bigint NOT NULL,
  mark_boot int NOT NULL,
  gap_since timestamptz,
  asked_from bigint,
  asked_at timestamptz,
  asks int NOT NULL DEFAULT 0,
  PRIMARY KEY (controller, life)
) WITH (fillfactor = 70);
CREATE INDEX lives_with_gaps ON fleet.lives (gap_since) WHERE gap_since IS NOT NULL;

-- The first entries that keepers have had of a life: by these it is known again.
CREATE TABLE fleet.marks (
  controller int NOT NULL,
  sequence bigint NOT NULL,
  crc bigint NOT NULL,
  life smallint NOT NULL,
  PRIMARY KEY (controller, sequence, crc)
);

-- In which partition entries lie: decided once for each block of sequence numbers, whatever clocks say later.
CREATE TABLE fleet.blocks (
  controller int NOT NULL,
  life smallint NOT NULL,
  block bigint NOT NULL,
  filed_on date NOT NULL,
  PRIMARY KEY (controller, life, block)
);

CREATE TABLE fleet.entries (
  sequence bigint NOT NULL,
  uptime_ms bigint NOT NULL,
  controller int NOT NULL,
  boot int NOT NULL,
  filed_on date NOT NULL,
  root_zone_c real,
  mat_c real,
  tray_g real,
  dry_back_share real,
  mat_duty_share real,
  life smallint NOT NULL,
  kind smallint NOT NULL,
  outputs smallint,
  stage smallint,
  packed bytea NOT NULL,
  says jsonb,
  PRIMARY KEY (controller, life, sequence, filed_on)
) PARTITION BY RANGE (filed_on);

-- What dates entries, and what stands, outlive the partitions that they came from.
CREATE TABLE fleet.clocks (
  controller int NOT NULL,
  life smallint NOT NULL,
  sequence bigint NOT NULL,
  boot int NOT NULL,
  uptime_ms bigint NOT NULL,
  unix_ms double precision NOT NULL,
  PRIMARY KEY (controller, life, boot, sequence)
);

CREATE TABLE fleet.alarms (
  controller int NOT NULL,
  life smallint NOT NULL,
  sequence bigint NOT NULL,
  boot int NOT NULL,
  uptime_ms bigint NOT NULL,
  alarm text NOT NULL,
  change text NOT NULL,
  value real,
  received_at timestamptz NOT NULL DEFAULT clock_timestamp(),
  PRIMARY KEY (controller, life, sequence)
);
CREATE INDEX alarms_of_tray ON fleet.alarms (controller, alarm, life, sequence);

CREATE TABLE fleet.latest (
  controller int PRIMARY KEY,
  life smallint NOT NULL,
  sequence bigint NOT NULL,
  boot int NOT NULL,
  uptime_ms bigint NOT NULL,
  root_zone_c real,
  tray_g real,
  stage smallint,
  heard_at timestamptz NOT NULL
) WITH (fillfactor = 70);

CREATE TABLE fleet.profiles (
  board text NOT NULL,
  id bigint NOT NULL,
  image bytea NOT NULL,
  PRIMARY KEY (board, id)
);
`;
