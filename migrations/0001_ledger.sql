CREATE TABLE ledger (
    id      INTEGER PRIMARY KEY CHECK (id = 1),
    uuid    TEXT NOT NULL CHECK (length(uuid) = 36),
    made_at INTEGER NOT NULL
) STRICT;

CREATE TABLE entry (
    id        INTEGER PRIMARY KEY,
    uuid      TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36),
    command   TEXT NOT NULL CHECK (command <> ''),
    summary   TEXT NOT NULL DEFAULT '',
    at        INTEGER NOT NULL,
    at_offset INTEGER NOT NULL CHECK (at_offset BETWEEN -1080 AND 1080),
    on_date   TEXT NOT NULL CHECK (on_date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    reverses  INTEGER UNIQUE REFERENCES entry (id),
    effective INTEGER NOT NULL DEFAULT 1 CHECK (effective IN (0, 1)),
    CHECK (reverses < id)
) STRICT;

CREATE TABLE setting (
    id       INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    key      TEXT NOT NULL CHECK (key <> ''),
    value    TEXT NOT NULL
) STRICT;

CREATE TABLE product (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE place (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE lid_lot (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE canner (
    id       INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    name     TEXT NOT NULL CHECK (name <> ''),
    name_key TEXT NOT NULL,
    method   TEXT NOT NULL CHECK (method IN ('pressure-dial', 'pressure-weighted', 'boiling-water'))
) STRICT;

CREATE TABLE canner_capacity (
    canner_id INTEGER NOT NULL REFERENCES canner (id),
    size      TEXT NOT NULL CHECK (size IN ('quarter-pint', 'half-pint', 'three-quarter-pint', 'pint',
                                            'pint-and-half', 'quart', 'half-gallon')),
    jars      INTEGER NOT NULL CHECK (jars BETWEEN 1 AND 999),
    PRIMARY KEY (canner_id, size)
) STRICT, WITHOUT ROWID;

CREATE TABLE gauge_test (
    id        INTEGER PRIMARY KEY,
    entry_id  INTEGER NOT NULL REFERENCES entry (id),
    canner_id INTEGER NOT NULL REFERENCES canner (id),
    on_date   TEXT NOT NULL CHECK (on_date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    new_gauge INTEGER NOT NULL DEFAULT 0 CHECK (new_gauge IN (0, 1)),
    note      TEXT
) STRICT;
CREATE INDEX gauge_test_by_canner ON gauge_test (canner_id);

CREATE TABLE gauge_point (
    gauge_test_id INTEGER NOT NULL REFERENCES gauge_test (id),
    reads         INTEGER NOT NULL CHECK (reads BETWEEN 0 AND 3000),
    actual        INTEGER NOT NULL CHECK (actual BETWEEN 0 AND 3000),
    PRIMARY KEY (gauge_test_id, reads, actual)
) STRICT, WITHOUT ROWID;

CREATE TABLE household_process (
    id              INTEGER PRIMARY KEY,
    entry_id        INTEGER NOT NULL REFERENCES entry (id),
    food            TEXT NOT NULL,
    acidity         TEXT NOT NULL CHECK (acidity IN ('low-acid', 'acid', 'acidified')),
    pack            TEXT NOT NULL CHECK (pack IN ('hot', 'raw')),
    size            TEXT NOT NULL,
    method          TEXT NOT NULL CHECK (method IN ('pressure-dial', 'pressure-weighted', 'boiling-water')),
    altitude_min_ft INTEGER NOT NULL,
    altitude_max_ft INTEGER CHECK (altitude_max_ft >= altitude_min_ft),
    minutes         INTEGER NOT NULL CHECK (minutes BETWEEN 1 AND 600),
    psi             INTEGER CHECK (psi BETWEEN 1 AND 3000),
    vent_min        INTEGER NOT NULL CHECK (vent_min BETWEEN 0 AND 60),
    headspace       REAL NOT NULL CHECK (headspace BETWEEN 0 AND 3),
    publication     TEXT NOT NULL CHECK (publication <> ''),
    page            TEXT NOT NULL CHECK (page <> ''),
    published_on    TEXT NOT NULL CHECK (published_on <> ''),
    CHECK ((psi IS NULL) = (method = 'boiling-water'))
) STRICT;

CREATE TABLE batch (
    id         INTEGER PRIMARY KEY,
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    year       INTEGER NOT NULL CHECK (year BETWEEN 0 AND 99),
    number     INTEGER NOT NULL CHECK (number BETWEEN 1 AND 9999999),
    product_id INTEGER NOT NULL REFERENCES product (id),
    food       TEXT,
    acidity    TEXT CHECK (acidity IN ('low-acid', 'acid', 'acidified')),
    pack       TEXT CHECK (pack IN ('hot', 'raw')),
    put_up     TEXT NOT NULL CHECK (put_up GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    origin     TEXT NOT NULL DEFAULT 'own' CHECK (origin IN ('own', 'import')),
    note       TEXT,
    UNIQUE (year, number)
) STRICT;
CREATE INDEX batch_by_product ON batch (product_id, put_up);
CREATE INDEX batch_by_entry ON batch (entry_id);

CREATE TABLE ingredient_lot (
    batch_id   INTEGER NOT NULL REFERENCES batch (id),
    ingredient TEXT NOT NULL CHECK (ingredient <> ''),
    lot        TEXT NOT NULL CHECK (lot <> ''),
    lot_key    TEXT NOT NULL,
    PRIMARY KEY (batch_id, ingredient, lot)
) STRICT, WITHOUT ROWID;
CREATE INDEX ingredient_lot_by_lot ON ingredient_lot (lot_key);

CREATE TABLE load (
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
    verdict          TEXT CHECK (verdict IN ('meets', 'deviates', 'no-tested-process', 'not-recorded')),
    findings         TEXT CHECK (json_valid(findings)),
    UNIQUE (batch_id, number)
) STRICT;
CREATE INDEX load_by_canner ON load (canner_id);

CREATE TABLE load_drop (
    load_id INTEGER NOT NULL REFERENCES load (id),
    number  INTEGER NOT NULL CHECK (number >= 1),
    told    TEXT NOT NULL CHECK (told <> ''),
    PRIMARY KEY (load_id, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE judgement (
    id       INTEGER PRIMARY KEY,
    load_id  INTEGER NOT NULL REFERENCES load (id),
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    verdict  TEXT NOT NULL CHECK (verdict IN ('meets', 'deviates', 'no-tested-process', 'not-recorded')),
    findings TEXT NOT NULL CHECK (json_valid(findings))
) STRICT;
CREATE INDEX judgement_by_load ON judgement (load_id);
CREATE INDEX judgement_by_entry ON judgement (entry_id);

CREATE TABLE jar (
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
                                                 'opened', 'finished', 'given', 'discarded', 'missing', 'void')),
    place_id      INTEGER REFERENCES place (id),
    held          INTEGER NOT NULL DEFAULT 0 CHECK (held IN (0, 1)),
    note          TEXT,
    UNIQUE (batch_id, number)
) STRICT;
CREATE INDEX jar_live ON jar (batch_id, state, held, best_by)
    WHERE state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing');
CREATE INDEX jar_by_load ON jar (load_id) WHERE load_id IS NOT NULL;
CREATE INDEX jar_by_lid_lot ON jar (lid_lot_id) WHERE lid_lot_id IS NOT NULL;

CREATE TABLE event (
    id         INTEGER PRIMARY KEY,
    jar_id     INTEGER NOT NULL REFERENCES jar (id),
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    act        TEXT NOT NULL CHECK (act IN ('check-sealed', 'check-failed', 'seal-lost', 'chill', 'freeze', 'reprocess',
                                            'open', 'finish', 'give', 'discard', 'miss', 'find', 'move')),
    from_state TEXT NOT NULL,
    to_state   TEXT NOT NULL,
    at         INTEGER NOT NULL,
    at_offset  INTEGER NOT NULL CHECK (at_offset BETWEEN -1080 AND 1080),
    on_date    TEXT NOT NULL CHECK (on_date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    place_id   INTEGER REFERENCES place (id),
    who        TEXT,
    why        TEXT
) STRICT;
CREATE INDEX event_by_jar ON event (jar_id);
CREATE INDEX event_by_entry ON event (entry_id);

CREATE TABLE seal_check (
    event_id INTEGER PRIMARY KEY REFERENCES event (id),
    jar_id   INTEGER NOT NULL REFERENCES jar (id),
    sealed   INTEGER NOT NULL CHECK (sealed IN (0, 1)),
    test     TEXT NOT NULL CHECK (test IN ('press', 'tap', 'look')),
    early    INTEGER NOT NULL DEFAULT 0 CHECK (early IN (0, 1))
) STRICT;
CREATE INDEX seal_check_by_jar ON seal_check (jar_id);

CREATE TABLE hold (
    id       INTEGER PRIMARY KEY,
    jar_id   INTEGER NOT NULL REFERENCES jar (id),
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    cause    TEXT NOT NULL CHECK (cause IN ('verdict', 'trace', 'by-hand')),
    reason   TEXT NOT NULL CHECK (reason <> '')
) STRICT;
CREATE INDEX hold_by_jar ON hold (jar_id);
CREATE INDEX hold_by_entry ON hold (entry_id);

CREATE TABLE hold_release (
    id       INTEGER PRIMARY KEY,
    hold_id  INTEGER NOT NULL REFERENCES hold (id),
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    reason   TEXT NOT NULL CHECK (reason <> '')
) STRICT;
CREATE INDEX hold_release_by_hold ON hold_release (hold_id);
CREATE INDEX hold_release_by_entry ON hold_release (entry_id);

CREATE TABLE correction (
    id         INTEGER PRIMARY KEY,
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    subject    TEXT NOT NULL CHECK (subject IN ('batch', 'load', 'jar')),
    subject_id INTEGER NOT NULL,
    field      TEXT NOT NULL CHECK (field <> ''),
    old_value  TEXT,
    new_value  TEXT,
    reason     TEXT NOT NULL CHECK (reason <> '')
) STRICT;
CREATE INDEX correction_by_subject ON correction (subject, subject_id);
CREATE INDEX correction_by_entry ON correction (entry_id);

CREATE TABLE label_sheet (
    id         INTEGER PRIMARY KEY,
    entry_id   INTEGER NOT NULL REFERENCES entry (id),
    name       TEXT NOT NULL CHECK (name <> ''),
    name_key   TEXT NOT NULL,
    definition TEXT NOT NULL CHECK (json_valid(definition))
) STRICT;

CREATE TABLE import_row (
    key      TEXT PRIMARY KEY,
    batch_id INTEGER NOT NULL REFERENCES batch (id)
) STRICT, WITHOUT ROWID;

-- What is written stays written.
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
WHEN OLD.summary <> '' AND (NEW.id, NEW.uuid, NEW.command, NEW.summary, NEW.at, NEW.at_offset, NEW.on_date, NEW.reverses)
     IS NOT (OLD.id, OLD.uuid, OLD.command, OLD.summary, OLD.at, OLD.at_offset, OLD.on_date, OLD.reverses)
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
