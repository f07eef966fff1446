/** What the database does itself. Part of a step of `schema.ts`: never changed once it has gone out. */

/**
 * What a collector may do is called by name: it reads no table of these. What runs as the owner looks into the temporary
 * schema last (PostgreSQL, CREATE FUNCTION: writing SECURITY DEFINER functions safely): a collector has one, and a type of
 * its own there could otherwise stand for one of the server's.
 */
export const FUNCTIONS = `
CREATE FUNCTION fleet.crc_of(packed bytea) RETURNS bigint LANGUAGE sql IMMUTABLE AS $$
  SELECT get_byte(packed, 28)::bigint + get_byte(packed, 29) * 256::bigint
    + get_byte(packed, 30) * 65536::bigint + get_byte(packed, 31) * 16777216::bigint
$$;

-- Which life a mark belongs to: that of the same entry, the newest one that it continues, or a new one.
CREATE FUNCTION fleet.life_of(p_controller int, p_sequence bigint, p_crc bigint, p_boot int)
RETURNS smallint LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE found_life smallint; newest record;
BEGIN
  SELECT m.life INTO found_life FROM fleet.marks m
    WHERE m.controller = p_controller AND m.sequence = p_sequence AND m.crc = p_crc;
  IF FOUND THEN RETURN found_life; END IF;
  SELECT e.life INTO found_life FROM fleet.entries e
    WHERE e.controller = p_controller AND e.sequence = p_sequence AND fleet.crc_of(e.packed) = p_crc
    ORDER BY e.life DESC LIMIT 1;
  IF NOT FOUND THEN
    SELECT * INTO newest FROM fleet.lives l WHERE l.controller = p_controller ORDER BY l.life DESC LIMIT 1;
    IF FOUND AND newest.last_sequence < p_sequence AND newest.last_boot <= p_boot THEN
      found_life := newest.life;
    ELSE
      found_life := coalesce(newest.life, 0) + 1;
    END IF;
  END IF;
  INSERT INTO fleet.marks VALUES (p_controller, p_sequence, p_crc, found_life);
  RETURN found_life;
END $$;

CREATE FUNCTION fleet.make_partition(p_week date) RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE part text := to_char(p_week, '"entries_"IYYY"_w"IW');
BEGIN
  IF to_regclass('fleet.' || part) IS NOT NULL THEN RETURN; END IF;
  PERFORM pg_advisory_xact_lock(hashtext('trayward.fleet.partitions'));
  IF to_regclass('fleet.' || part) IS NOT NULL THEN RETURN; END IF;
  EXECUTE format('CREATE TABLE fleet.%I PARTITION OF fleet.entries FOR VALUES FROM (%L) TO (%L)',
    part, p_week, p_week + 7);
END $$;

-- Where entries of each block belong. Called on its own, before they are copied: a partition may have to be made.
CREATE FUNCTION fleet.place(
  p_board text[], p_tray text[], p_keeper text[],
  p_sequence bigint[], p_crc bigint[], p_boot int[], p_block bigint[], p_day date[]
) RETURNS TABLE (n bigint, controller int, life smallint, filed_on date)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE r record;
BEGIN
  FOR r IN
    SELECT * FROM unnest(p_board, p_tray, p_keeper, p_sequence, p_crc, p_boot, p_block, p_day)
      WITH ORDINALITY AS t (board, tray, keeper, sequence, crc, boot, block, day, n)
    ORDER BY t.board, t.sequence, t.block
  LOOP
    n := r.n;
    LOOP
      SELECT c.id INTO controller FROM fleet.controllers c WHERE c.board = r.board FOR UPDATE;
      EXIT WHEN FOUND;
      INSERT INTO fleet.controllers (board, tray, keeper) VALUES (r.board, r.tray, r.keeper)
        ON CONFLICT DO NOTHING;
    END LOOP;
    UPDATE fleet.controllers c SET tray = r.tray, keeper = r.keeper
      WHERE c.id = controller AND (c.tray, c.keeper) IS DISTINCT FROM (r.tray, r.keeper);
    life := fleet.life_of(controller, r.sequence, r.crc, r.boot);
    INSERT INTO fleet.lives AS l (controller, life, begins, goes_to, last_sequence, last_boot, keeper,
        mark_sequence, mark_crc, mark_boot)
      VALUES (controller, life, r.sequence, r.sequence - 1, r.sequence, r.boot, r.keeper,
        r.sequence, r.crc, r.boot)
      ON CONFLICT ON CONSTRAINT lives_pkey DO UPDATE
        SET begins = least(l.begins, excluded.begins), keeper = excluded.keeper,
          mark_sequence = excluded.mark_sequence, mark_crc = excluded.mark_crc,
          mark_boot = excluded.mark_boot
        WHERE (l.keeper, l.mark_sequence, l.mark_crc) IS DISTINCT FROM
          (excluded.keeper, excluded.mark_sequence, excluded.mark_crc);
    SELECT b.filed_on INTO filed_on FROM fleet.blocks b
      WHERE b.controller = place.controller AND b.life = place.life AND b.block = r.block;
    IF NOT FOUND THEN
      filed_on := date_trunc('week', r.day)::date;
      INSERT INTO fleet.blocks VALUES (controller, life, r.block, filed_on);
    END IF;
    PERFORM fleet.make_partition(date_trunc('week', filed_on)::date);
    RETURN NEXT;
  END LOOP;
END $$;

-- What has come, as spans in which nothing is missing any more; in the transaction of the entries themselves.
CREATE FUNCTION fleet.note(
  p_controller int[], p_life smallint[], p_from bigint[], p_to bigint[], p_last bigint[], p_boot int[]
) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  -- In one order, so that two collectors never wait for each other.
  PERFORM 1 FROM fleet.lives l
    WHERE (l.controller, l.life) IN (SELECT * FROM unnest(p_controller, p_life))
    ORDER BY l.controller, l.life FOR UPDATE;
  UPDATE fleet.lives l SET
    covered = l.covered + n.spans,
    goes_to = greatest(l.goes_to, n.last),
    last_boot = CASE WHEN n.last > l.last_sequence THEN n.boot ELSE l.last_boot END,
    last_sequence = greatest(l.last_sequence, n.last),
    gap_since = CASE
      WHEN (l.covered + n.spans) @> int8range(l.begins, greatest(l.goes_to, n.last) + 1) THEN NULL
      ELSE coalesce(l.gap_since, clock_timestamp()) END
  FROM (
    SELECT controller, life, range_agg(int8range(span_from, span_to + 1)) AS spans,
      max(last) AS last, max(boot) AS boot
    FROM unnest(p_controller, p_life, p_from, p_to, p_last, p_boot)
      AS t (controller, life, span_from, span_to, last, boot)
    GROUP BY controller, life
  ) n
  WHERE l.controller = n.controller AND l.life = n.life;
END $$;

CREATE FUNCTION fleet.note_latest(
  p_controller int[], p_life smallint[], p_sequence bigint[], p_boot int[], p_uptime_ms bigint[],
  p_root_zone_c real[], p_tray_g real[], p_stage smallint[]
) RETURNS void LANGUAGE sql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  INSERT INTO fleet.latest AS l
    SELECT controller, life, sequence, boot, uptime_ms, root_zone_c, tray_g, stage, clock_timestamp()
    FROM unnest(p_controller, p_life, p_sequence, p_boot, p_uptime_ms, p_root_zone_c, p_tray_g, p_stage)
      AS t (controller, life, sequence, boot, uptime_ms, root_zone_c, tray_g, stage)
    ORDER BY controller
  ON CONFLICT (controller) DO UPDATE SET
    life = excluded.life, sequence = excluded.sequence, boot = excluded.boot,
    uptime_ms = excluded.uptime_ms, root_zone_c = excluded.root_zone_c, tray_g = excluded.tray_g,
    stage = excluded.stage, heard_at = excluded.heard_at
  WHERE (l.life, l.sequence) < (excluded.life, excluded.sequence)
$$;

-- How far keepers say that their journals went out: by this the loss of the very last entries shows.
CREATE FUNCTION fleet.note_ends(p_controller int[], p_life smallint[], p_to bigint[])
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  PERFORM 1 FROM fleet.lives l
    WHERE (l.controller, l.life) IN (SELECT * FROM unnest(p_controller, p_life))
    ORDER BY l.controller, l.life FOR UPDATE;
  UPDATE fleet.lives l SET goes_to = e.goes_to, gap_since = coalesce(l.gap_since, clock_timestamp())
    FROM (SELECT controller, life, max(goes_to) AS goes_to
      FROM unnest(p_controller, p_life, p_to) AS t (controller, life, goes_to)
      GROUP BY controller, life) e
    WHERE l.controller = e.controller AND l.life = e.life AND l.goes_to < e.goes_to;
END $$;

-- What is missing and was not asked for just now, the oldest first: no two collectors get the same.
CREATE FUNCTION fleet.due_asks(p_most int)
RETURNS TABLE (board text, keeper text, mark_sequence bigint, mark_crc bigint, mark_boot int,
  span_from bigint, span_to bigint)
LANGUAGE sql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  WITH gaps AS (
    SELECT l.controller, l.life, l.gap_since, l.asked_from, l.asked_at, l.asks,
      range_merge(int8multirange(int8range(l.begins, l.goes_to + 1)) - l.covered) AS missing,
      lower(int8multirange(int8range(l.begins, l.goes_to + 1)) - l.covered) AS first_missing
    FROM fleet.lives l
    WHERE l.gap_since < clock_timestamp() - interval '3 seconds'
    ORDER BY l.gap_since LIMIT 10 * p_most
  ), due AS (
    SELECT l.controller, l.life, g.missing, g.first_missing
    FROM gaps g JOIN fleet.lives l USING (controller, life)
    WHERE g.asked_at IS NULL OR g.asked_at < clock_timestamp() - CASE
      WHEN g.asked_from IS DISTINCT FROM g.first_missing THEN interval '3 seconds'
      ELSE least(interval '5 seconds' * 2 ^ least(g.asks, 10), interval '10 minutes') END
    ORDER BY g.gap_since LIMIT p_most FOR UPDATE OF l SKIP LOCKED
  )
  UPDATE fleet.lives l SET asked_at = clock_timestamp(), asked_from = d.first_missing,
    asks = CASE WHEN l.asked_from IS DISTINCT FROM d.first_missing THEN 1 ELSE l.asks + 1 END
  FROM due d, fleet.controllers c
  WHERE l.controller = d.controller AND l.life = d.life AND c.id = l.controller
  RETURNING c.board, l.keeper, l.mark_sequence, l.mark_crc, l.mark_boot,
    lower(d.missing), upper(d.missing) - 1
$$;
`;
