-- A fourth kind of canner, a verdict on the household's own processes, jars emptied into other batches,
-- recipes, runs of a canner, and which phone asked.
--
-- SQLite cannot alter a CHECK: such tables are built anew and take the old name. Triggers that read them go first
-- and come back at the end.

DROP TRIGGER entry_stays;
DROP TRIGGER entry_kept;
DROP TRIGGER event_stays;
DROP TRIGGER event_kept;
DROP TRIGGER seal_check_stays;
DROP TRIGGER seal_check_kept;
DROP TRIGGER judgement_stays;
DROP TRIGGER judgement_kept;
DROP TRIGGER hold_stays;
DROP TRIGGER hold_kept;
DROP TRIGGER hold_release_stays;
DROP TRIGGER hold_release_kept;
DROP TRIGGER correction_stays;
DROP TRIGGER correction_kept;
DROP TRIGGER jar_kept;
DROP TRIGGER event_fits;
DROP TRIGGER event_moves_jar;
DROP TRIGGER hold_holds;
DROP TRIGGER hold_release_frees;
DROP TRIGGER judgement_stands;
DROP TRIGGER entry_toggled;

CREATE TABLE recipe (
    id         INTEGER PRIMARY KEY,
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    name       TEXT NOT NULL CHECK (name <> ''),
    name_key   TEXT NOT NULL CHECK (name_key <> ''),
    version    INTEGER NOT NULL CHECK (version >= 1),
    definition TEXT NOT NULL CHECK (json_valid(definition)),
    removed    INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX recipe_by_name ON recipe (name_key);
CREATE INDEX recipe_by_entry ON recipe (entry_id);

ALTER TABLE entry ADD COLUMN phone TEXT;
ALTER TABLE batch ADD COLUMN recipe_id INTEGER REFERENCES recipe (id);
ALTER TABLE batch ADD COLUMN vouched TEXT;
ALTER TABLE batch ADD COLUMN name_reason TEXT;
ALTER TABLE hold ADD COLUMN through_jar_id INTEGER REFERENCES jar (id);

CREATE TABLE new_canner (
    id       INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    name     TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL,
    method   TEXT NOT NULL CHECK (method IN ('pressure-dial', 'pressure-weighted', 'boiling-water', 'steam'))
) STRICT;
INSERT INTO new_canner (id, entry_id, name, name_key, method)
SELECT id, entry_id, name, name_key, method FROM canner;
DROP TABLE canner;
ALTER TABLE new_canner RENAME TO canner;

-- How many jars of each size a canner holds together.
CREATE TABLE canner_mix (
    canner_id INTEGER NOT NULL REFERENCES canner (id),
    mix       INTEGER NOT NULL CHECK (mix >= 1),
    size      TEXT NOT NULL CHECK (size IN ('quarter-pint', 'half-pint', 'three-quarter-pint', 'pint',
                                            'pint-and-half', 'quart', 'half-gallon')),
    jars      INTEGER NOT NULL CHECK (jars BETWEEN 1 AND 999),
    PRIMARY KEY (canner_id, mix, size)
) STRICT, WITHOUT ROWID;

CREATE TABLE new_household_process (
    id              INTEGER PRIMARY KEY,
    entry_id        INTEGER NOT NULL REFERENCES entry (id),
    food            TEXT NOT NULL,
    acidity         TEXT NOT NULL CHECK (acidity IN ('low-acid', 'acid', 'acidified')),
    pack            TEXT NOT NULL CHECK (pack IN ('hot', 'raw')),
    size            TEXT NOT NULL,
    method          TEXT NOT NULL CHECK (method IN ('pressure-dial', 'pressure-weighted', 'boiling-water', 'steam')),
    altitude_min_ft INTEGER NOT NULL,
    altitude_max_ft INTEGER CHECK (altitude_max_ft >= altitude_min_ft),
    minutes         INTEGER NOT NULL CHECK (minutes BETWEEN 1 AND 600),
    psi             INTEGER CHECK (psi BETWEEN 1 AND 3000),
    vent_min        INTEGER NOT NULL CHECK (vent_min BETWEEN 0 AND 60),
    headspace       REAL NOT NULL CHECK (headspace BETWEEN 0 AND 3),
    publication     TEXT NOT NULL CHECK (publication <> ''),
    page            TEXT NOT NULL CHECK (page <> ''),
    published_on    TEXT NOT NULL CHECK (published_on <> ''),
    CHECK ((psi IS NULL) = (method IN ('boiling-water', 'steam')))
) STRICT;
INSERT INTO new_household_process (id, entry_id, food, acidity, pack, size, method, altitude_min_ft, altitude_max_ft, minutes, psi, vent_min, headspace, publication, page, published_on)
SELECT id, entry_id, food, acidity, pack, size, method, altitude_min_ft, altitude_max_ft, minutes, psi, vent_min, headspace, publication, page, published_on FROM household_process;
DROP TABLE household_process;
ALTER TABLE new_household_process RENAME TO household_process;

CREATE TABLE run (
    id        INTEGER PRIMARY KEY,
    entry_id  INTEGER NOT NULL REFERENCES entry (id),
    canner_id INTEGER NOT NULL REFERENCES canner (id),
    food      TEXT NOT NULL CHECK (food <> ''),
    pack      TEXT NOT NULL CHECK (pack IN ('hot', 'raw')),
    size      TEXT NOT NULL CHECK (size IN ('quarter-pint', 'half-pint', 'three-quarter-pint', 'pint',
                                            'pint-and-half', 'quart', 'half-gallon')),
    altitude  TEXT NOT NULL,
    recipe_id INTEGER REFERENCES recipe (id),
    minutes   INTEGER NOT NULL CHECK (minutes BETWEEN 1 AND 1440),
    pressure  INTEGER CHECK (pressure BETWEEN 0 AND 3000),
    vent_min  INTEGER NOT NULL CHECK (vent_min BETWEEN 0 AND 240),
    note      TEXT
) STRICT;
CREATE INDEX run_by_entry ON run (entry_id);
CREATE TABLE run_step (
    id        INTEGER PRIMARY KEY,
    run_id    INTEGER NOT NULL REFERENCES run (id),
    entry_id  INTEGER NOT NULL REFERENCES entry (id),
    step      TEXT NOT NULL CHECK (step IN ('heat', 'steam', 'closed', 'reached', 'lost', 'off', 'depressurized', 'lid',
                                            'out', 'abandon')),
    at        INTEGER NOT NULL,
    at_offset INTEGER NOT NULL CHECK (at_offset BETWEEN -1080 AND 1080),
    boot_id   TEXT,
    boot_ms   INTEGER CHECK (boot_ms >= 0),
    CHECK ((boot_id IS NULL) = (boot_ms IS NULL))
) STRICT;
CREATE INDEX run_step_by_run ON run_step (run_id);
CREATE INDEX run_step_by_entry ON run_step (entry_id);

CREATE TABLE new_load (
    id               INTEGER PRIMARY KEY,
    batch_id         INTEGER NOT NULL REFERENCES batch (id),
    number           INTEGER NOT NULL CHECK (number BETWEEN 1 AND 9999),
    canner_id        INTEGER REFERENCES canner (id),
    altitude         TEXT,
    pressure         INTEGER CHECK (pressure BETWEEN 0 AND 3000),
    pressure_entered TEXT,
    minutes          INTEGER CHECK (minutes BETWEEN 0 AND 1440),
    vent_min         INTEGER CHECK (vent_min BETWEEN 0 AND 240),
    come_up_min      INTEGER CHECK (come_up_min BETWEEN 0 AND 600),
    acid             TEXT,
    reached_at       INTEGER,
    ended_at         INTEGER,
    out_at           INTEGER NOT NULL,
    out_offset       INTEGER NOT NULL CHECK (out_offset BETWEEN -1080 AND 1080),
    went_wrong       TEXT,
    verdict          TEXT CHECK (verdict IN ('meets', 'meets-own', 'deviates', 'no-tested-process', 'not-recorded')),
    findings         TEXT CHECK (json_valid(findings)),
    run_id           INTEGER REFERENCES run (id),
    UNIQUE (batch_id, number)
) STRICT;
INSERT INTO new_load (id, batch_id, number, canner_id, altitude, pressure, pressure_entered, minutes, vent_min, come_up_min, acid, reached_at, ended_at, out_at, out_offset, went_wrong, verdict, findings)
SELECT id, batch_id, number, canner_id, altitude, pressure, pressure_entered, minutes, vent_min, come_up_min, acid, reached_at, ended_at, out_at, out_offset, went_wrong, verdict, findings FROM load;
DROP TABLE load;
ALTER TABLE new_load RENAME TO load;
CREATE INDEX load_by_canner ON load (canner_id);
CREATE INDEX load_by_run ON load (run_id) WHERE run_id IS NOT NULL;

CREATE TABLE new_judgement (
    id       INTEGER PRIMARY KEY,
    load_id  INTEGER NOT NULL REFERENCES load (id),
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    verdict  TEXT NOT NULL CHECK (verdict IN ('meets', 'meets-own', 'deviates', 'no-tested-process', 'not-recorded')),
    findings TEXT NOT NULL CHECK (json_valid(findings))
) STRICT;
INSERT INTO new_judgement (id, load_id, entry_id, verdict, findings)
SELECT id, load_id, entry_id, verdict, findings FROM judgement;
DROP TABLE judgement;
ALTER TABLE new_judgement RENAME TO judgement;
CREATE INDEX judgement_by_load ON judgement (load_id);
CREATE INDEX judgement_by_entry ON judgement (entry_id);

CREATE TABLE new_jar (
    id            INTEGER PRIMARY KEY,
    batch_id      INTEGER NOT NULL REFERENCES batch (id),
    number        INTEGER NOT NULL CHECK (number BETWEEN 1 AND 9999999),
    size          TEXT NOT NULL CHECK (size IN ('quarter-pint', 'half-pint', 'three-quarter-pint', 'pint',
                                                'pint-and-half', 'quart', 'half-gallon')),
    load_id       INTEGER REFERENCES load (id),
    lid_lot_id    INTEGER REFERENCES lid_lot (id),
    best_by       TEXT NOT NULL CHECK (best_by GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    born          TEXT NOT NULL CHECK (born IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened')),
    born_place_id INTEGER REFERENCES place (id),
    state         TEXT NOT NULL CHECK (state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'reprocessed',
                                                 'opened', 'finished', 'given', 'discarded', 'missing', 'used', 'void')),
    place_id      INTEGER REFERENCES place (id),
    held          INTEGER NOT NULL DEFAULT 0 CHECK (held IN (0, 1)),
    note          TEXT,
    UNIQUE (batch_id, number)
) STRICT;
INSERT INTO new_jar (id, batch_id, number, size, load_id, lid_lot_id, best_by, born, born_place_id, state, place_id, held, note)
SELECT id, batch_id, number, size, load_id, lid_lot_id, best_by, born, born_place_id, state, place_id, held, note FROM jar;
DROP TABLE jar;
ALTER TABLE new_jar RENAME TO jar;
CREATE INDEX jar_live ON jar (batch_id, state, held, best_by)
    WHERE state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing');
CREATE INDEX jar_by_load ON jar (load_id) WHERE load_id IS NOT NULL;
CREATE INDEX jar_by_lid_lot ON jar (lid_lot_id) WHERE lid_lot_id IS NOT NULL;

CREATE TABLE new_event (
    id         INTEGER PRIMARY KEY,
    jar_id     INTEGER NOT NULL REFERENCES jar (id),
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    act        TEXT NOT NULL CHECK (act IN ('check-sealed', 'check-failed', 'seal-lost', 'chill', 'freeze', 'reprocess',
                                            'open', 'finish', 'give', 'use', 'discard', 'miss', 'find', 'move')),
    from_state TEXT NOT NULL,
    to_state   TEXT NOT NULL,
    at         INTEGER NOT NULL,
    at_offset  INTEGER NOT NULL CHECK (at_offset BETWEEN -1080 AND 1080),
    on_date    TEXT NOT NULL CHECK (on_date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    place_id   INTEGER REFERENCES place (id),
    who        TEXT,
    why        TEXT
) STRICT;
INSERT INTO new_event (id, jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date, place_id, who, why)
SELECT id, jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date, place_id, who, why FROM event;
DROP TABLE event;
ALTER TABLE new_event RENAME TO event;
CREATE INDEX event_by_jar ON event (jar_id);
CREATE INDEX event_by_entry ON event (entry_id);

CREATE TABLE jar_use (
    event_id INTEGER PRIMARY KEY REFERENCES event (id),
    jar_id   INTEGER NOT NULL REFERENCES jar (id),
    batch_id INTEGER NOT NULL REFERENCES batch (id)
) STRICT;
CREATE INDEX jar_use_by_jar ON jar_use (jar_id);
CREATE INDEX jar_use_by_batch ON jar_use (batch_id);

-- What is written stays written.
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
WHEN OLD.summary <> '' AND (NEW.id, NEW.uuid, NEW.command, NEW.summary, NEW.at, NEW.at_offset, NEW.on_date, NEW.reverses, NEW.phone)
     IS NOT (OLD.id, OLD.uuid, OLD.command, OLD.summary, OLD.at, OLD.at_offset, OLD.on_date, OLD.reverses, OLD.phone)
BEGIN SELECT RAISE(ABORT, 'an entry is never rewritten'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;
CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'an event is never rewritten'); END;
CREATE TRIGGER event_kept BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'an event is never deleted'); END;
CREATE TRIGGER seal_check_stays BEFORE UPDATE ON seal_check
BEGIN SELECT RAISE(ABORT, 'a seal check is never rewritten'); END;
CREATE TRIGGER seal_check_kept BEFORE DELETE ON seal_check
BEGIN SELECT RAISE(ABORT, 'a seal check is never deleted'); END;
CREATE TRIGGER judgement_stays BEFORE UPDATE ON judgement
BEGIN SELECT RAISE(ABORT, 'a judgement is never rewritten'); END;
CREATE TRIGGER judgement_kept BEFORE DELETE ON judgement
BEGIN SELECT RAISE(ABORT, 'a judgement is never deleted'); END;
CREATE TRIGGER hold_stays BEFORE UPDATE ON hold BEGIN SELECT RAISE(ABORT, 'a hold is never rewritten'); END;
CREATE TRIGGER hold_kept BEFORE DELETE ON hold BEGIN SELECT RAISE(ABORT, 'a hold is never deleted'); END;
CREATE TRIGGER hold_release_stays BEFORE UPDATE ON hold_release
BEGIN SELECT RAISE(ABORT, 'a release is never rewritten'); END;
CREATE TRIGGER hold_release_kept BEFORE DELETE ON hold_release
BEGIN SELECT RAISE(ABORT, 'a release is never deleted'); END;
CREATE TRIGGER correction_stays BEFORE UPDATE ON correction
BEGIN SELECT RAISE(ABORT, 'a correction is never rewritten'); END;
CREATE TRIGGER correction_kept BEFORE DELETE ON correction
BEGIN SELECT RAISE(ABORT, 'a correction is never deleted'); END;
CREATE TRIGGER jar_use_stays BEFORE UPDATE ON jar_use
BEGIN SELECT RAISE(ABORT, 'the use of a jar is never rewritten'); END;
CREATE TRIGGER jar_use_kept BEFORE DELETE ON jar_use
BEGIN SELECT RAISE(ABORT, 'the use of a jar is never deleted'); END;
CREATE TRIGGER recipe_stays BEFORE UPDATE ON recipe
BEGIN SELECT RAISE(ABORT, 'a version of a recipe is never rewritten'); END;
CREATE TRIGGER recipe_kept BEFORE DELETE ON recipe
BEGIN SELECT RAISE(ABORT, 'a version of a recipe is never deleted'); END;
CREATE TRIGGER run_stays BEFORE UPDATE ON run
BEGIN SELECT RAISE(ABORT, 'a run is never rewritten'); END;
CREATE TRIGGER run_kept BEFORE DELETE ON run
BEGIN SELECT RAISE(ABORT, 'a run is never deleted'); END;
CREATE TRIGGER run_step_stays BEFORE UPDATE ON run_step
BEGIN SELECT RAISE(ABORT, 'a step of a run is never rewritten'); END;
CREATE TRIGGER run_step_kept BEFORE DELETE ON run_step
BEGIN SELECT RAISE(ABORT, 'a step of a run is never deleted'); END;
CREATE TRIGGER jar_kept BEFORE DELETE ON jar BEGIN SELECT RAISE(ABORT, 'a jar is never deleted'); END;

-- A jar stands where its last event in force left it.
CREATE TRIGGER event_fits BEFORE INSERT ON event
WHEN (SELECT state FROM jar WHERE id = NEW.jar_id) IS NOT NEW.from_state
BEGIN SELECT RAISE(ABORT, 'the jar is no longer in the state this event starts from'); END;
CREATE TRIGGER event_moves_jar AFTER INSERT ON event
BEGIN
    UPDATE jar SET state = NEW.to_state, place_id = coalesce(NEW.place_id, place_id) WHERE id = NEW.jar_id;
END;
CREATE TRIGGER hold_holds AFTER INSERT ON hold
BEGIN
    UPDATE jar SET held = 1 WHERE id = NEW.jar_id;
END;
CREATE TRIGGER hold_release_frees AFTER INSERT ON hold_release
BEGIN
    UPDATE jar SET held = EXISTS (
        SELECT 1 FROM hold h JOIN entry he ON he.id = h.entry_id AND he.effective = 1
        WHERE h.jar_id = jar.id AND NOT EXISTS (
            SELECT 1 FROM hold_release r JOIN entry re ON re.id = r.entry_id AND re.effective = 1
            WHERE r.hold_id = h.id))
    WHERE id = (SELECT jar_id FROM hold WHERE id = NEW.hold_id);
END;
CREATE TRIGGER judgement_stands AFTER INSERT ON judgement
BEGIN
    UPDATE load SET verdict = NEW.verdict, findings = NEW.findings WHERE id = NEW.load_id;
END;

-- An entry reversed, or brought back: whatever it touched is folded anew from the facts in force.
CREATE TRIGGER entry_toggled AFTER UPDATE OF effective ON entry
WHEN OLD.effective <> NEW.effective
BEGIN
    UPDATE jar SET state = born
    WHERE NEW.effective = 1 AND batch_id IN (SELECT id FROM batch WHERE entry_id = NEW.id);
    UPDATE jar SET
        state = coalesce((SELECT v.to_state FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                          WHERE v.jar_id = jar.id ORDER BY v.id DESC LIMIT 1), born),
        place_id = coalesce((SELECT v.place_id FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                             WHERE v.jar_id = jar.id AND v.place_id IS NOT NULL ORDER BY v.id DESC LIMIT 1),
                            born_place_id)
    WHERE id IN (SELECT jar_id FROM event WHERE entry_id = NEW.id);
    UPDATE jar SET state = 'void'
    WHERE NEW.effective = 0 AND batch_id IN (SELECT id FROM batch WHERE entry_id = NEW.id);
    UPDATE jar SET held = EXISTS (
        SELECT 1 FROM hold h JOIN entry he ON he.id = h.entry_id AND he.effective = 1
        WHERE h.jar_id = jar.id AND NOT EXISTS (
            SELECT 1 FROM hold_release r JOIN entry re ON re.id = r.entry_id AND re.effective = 1
            WHERE r.hold_id = h.id))
    WHERE id IN (SELECT jar_id FROM hold WHERE entry_id = NEW.id
                 UNION SELECT h.jar_id FROM hold_release r JOIN hold h ON h.id = r.hold_id
                       WHERE r.entry_id = NEW.id);
    UPDATE load SET
        verdict = (SELECT j.verdict FROM judgement j JOIN entry n ON n.id = j.entry_id AND n.effective = 1
                   WHERE j.load_id = load.id ORDER BY j.id DESC LIMIT 1),
        findings = (SELECT j.findings FROM judgement j JOIN entry n ON n.id = j.entry_id AND n.effective = 1
                    WHERE j.load_id = load.id ORDER BY j.id DESC LIMIT 1)
    WHERE id IN (SELECT load_id FROM judgement WHERE entry_id = NEW.id);
END;
