package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

const headings = `SELECT id, code, key, at, furnace_id, coalesce(crucible_id, 0), coalesce(element_id, 0), coalesce(probe_id, 0), warm, target, ambient, person_id, noted_at FROM melt`

func scanHeading(rows *sql.Rows) (melt.Heading, error) {
	var h melt.Heading
	err := rows.Scan(&h.ID, &h.Code, &h.Key, &h.At, &h.Furnace, &h.Crucible, &h.Element, &h.Probe, &h.Warm, &h.Target, &h.Ambient, &h.By, &h.Noted)
	return h, err
}

// Start starts a melt and gives it the next code of its furnace and year. The
// same key starts one melt and gives the same heading again, whatever the time;
// with other content it is an ErrKeyUsed. The furnace, and what else the heading names, must be kit of the right kind (ErrNotFound). On a
// crucible with a crack it is refused (melt.Refusals) unless why says the
// reason, which becomes the melt's first line.
func (s *Store) Start(ctx context.Context, by int64, h melt.Heading, why string) (melt.Heading, error) {
	err := s.change(ctx, by, func(t *tx) error {
		had, err := collect(ctx, t, scanHeading, headings+" WHERE key = ?", h.Key)
		if err != nil {
			return fmt.Errorf("start melt: %w", err)
		}
		if len(had) > 0 {
			asked := h
			h = had[0]
			return t.sameStart(ctx, h, asked, why)
		}
		return t.startOn(ctx, &h, why)
	})
	return h, err
}

// sameStart is nil where a melt was started with what its key comes with again,
// with the same reason for a cracked crucible.
func (t *tx) sameStart(ctx context.Context, had, asked melt.Heading, why string) error {
	asked.ID, asked.Code, asked.At, asked.By, asked.Noted = had.ID, had.Code, had.At, had.By, had.Noted
	if err := alike("melt", had, asked); err != nil {
		return err
	}
	var note string
	err := t.QueryRowContext(ctx, "SELECT note FROM line WHERE key = ? AND melt_id = ?", had.Key, had.ID).Scan(&note)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	return errors.Join(err, alike("melt", strings.HasSuffix(note, crackedWhy+why), true))
}

// startOn starts a melt on a crucible that may have a crack.
func (t *tx) startOn(ctx context.Context, h *melt.Heading, why string) error {
	cracked, err := t.cracked(ctx, h.Crucible)
	if err != nil {
		return err
	}
	if cracked == "" {
		return t.start(ctx, h)
	}
	if why == "" {
		return melt.Refusals{crackRefusal(cracked, "why_cracked")}
	}
	if err := t.start(ctx, h); err != nil {
		return err
	}
	l := melt.Line{Key: h.Key, Kind: melt.Note, At: h.At, Note: "Started on " + cracked + crackedWhy + why, By: t.by, Noted: t.now}
	if err := t.insertLine(ctx, h.ID, &l); err != nil {
		return err
	}
	return t.refigure(ctx, *h, []melt.Line{l})
}

// crackedWhy stands before the reason for starting on a cracked crucible.
const crackedWhy = " although a crack is written down: "

// cracked is the name of a crucible that has a crack, "" for one that has none.
func (t *tx) cracked(ctx context.Context, crucible int64) (string, error) {
	if crucible == 0 {
		return "", nil
	}
	ids, err := collect(ctx, t, scanID, cracks+" AND l.kit_id = ?", crucible)
	if err != nil || len(ids) == 0 {
		return "", err
	}
	it, err := kitItem(ctx, t, crucible)
	return it.Name, err
}

func crackRefusal(name, field string) melt.Refusal {
	return melt.Refuse(field, func(quantity.Style) string {
		return "A crack is written down of " + name + ". Take another crucible: a cracked one can let go when it is full. If it is melted on all the same, write the reason here; it stays in the melt's lines."
	})
}

func (t *tx) start(ctx context.Context, h *melt.Heading) error {
	if err := t.head(ctx, h); err != nil {
		return err
	}
	return t.refigure(ctx, *h, nil)
}

// head writes the heading of a melt and gives it its code. Its figures are the
// caller's to make.
func (t *tx) head(ctx context.Context, h *melt.Heading) error {
	furnace, err := t.kitOf(ctx, h.Furnace, kit.Furnace)
	if err != nil {
		return err
	}
	for id, kind := range map[int64]kit.Kind{h.Crucible: kit.Crucible, h.Element: kit.Element, h.Probe: kit.Probe} {
		if id == 0 {
			continue
		}
		if _, err := t.kitOf(ctx, id, kind); err != nil {
			return err
		}
	}
	p, err := shop(ctx, t)
	if err != nil {
		return err
	}
	year := h.At.Time().In(p.Style().Zone).Year()
	var n int
	err = t.QueryRowContext(ctx, "SELECT coalesce(max(number), 0) + 1 FROM melt WHERE letter = ? AND year = ?", furnace.Letter, year).Scan(&n)
	if err != nil {
		return fmt.Errorf("next code: %w", err)
	}
	h.Code, h.By, h.Noted = melt.NewCode(furnace.Letter, year, n), t.by, t.now
	r, err := t.ExecContext(ctx, `
		INSERT INTO melt (key, code, letter, year, number, at, noted_at, person_id, furnace_id, crucible_id, element_id, probe_id, warm, target, ambient)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
		h.Key, h.Code, furnace.Letter, year, n, h.At, t.now, t.by, h.Furnace, orNull(h.Crucible), orNull(h.Element), orNull(h.Probe), h.Warm, h.Target, h.Ambient)
	if err != nil {
		return clashes("start melt", err)
	}
	h.ID, err = r.LastInsertId()
	return err
}

// kitOf reads a piece of kit that must be of a kind.
func (t *tx) kitOf(ctx context.Context, id int64, kind kit.Kind) (kit.Item, error) {
	it, err := kitItem(ctx, t, id)
	if err == nil && it.Kind != kind {
		err = fmt.Errorf("kit %d as %s: %w", id, kind, ErrNotFound)
	}
	return it, err
}

// Melt reads a melt's heading and all its lines, in the order of writing.
func (s *Store) Melt(ctx context.Context, code melt.Code) (h melt.Heading, lines []melt.Line, err error) {
	err = s.snapshot(ctx, func(q querier) error {
		if h, err = heading(ctx, q, code); err != nil {
			return err
		}
		lines, err = meltLines(ctx, q, h.ID)
		return err
	})
	return h, lines, err
}

// Heading reads a melt's heading.
func (s *Store) Heading(ctx context.Context, code melt.Code) (melt.Heading, error) {
	return heading(ctx, s.read, code)
}

func heading(ctx context.Context, q querier, code melt.Code) (melt.Heading, error) {
	all, err := collect(ctx, q, scanHeading, headings+" WHERE code = ?", code)
	if err != nil {
		return melt.Heading{}, fmt.Errorf("melt: %w", err)
	}
	if len(all) == 0 {
		return melt.Heading{}, fmt.Errorf("melt %s: %w", code, ErrNotFound)
	}
	return all[0], nil
}

// LastHeading is the heading of the newest melt, whose kit the next one is
// likely to use. It returns ErrNotFound while there is none.
func (s *Store) LastHeading(ctx context.Context) (melt.Heading, error) {
	all, err := collect(ctx, s.read, scanHeading, headings+" ORDER BY id DESC LIMIT 1")
	if err != nil {
		return melt.Heading{}, fmt.Errorf("last melt: %w", err)
	}
	if len(all) == 0 {
		return melt.Heading{}, ErrNotFound
	}
	return all[0], nil
}

// LastHot is when a furnace was last known to be hot: the newest line of a melt
// in it that says so by its true time, 0 when there is none. Melts made void
// count nowhere; of the others the latest few are looked at.
func (s *Store) LastHot(ctx context.Context, furnace int64) (quantity.Moment, error) {
	var at quantity.Moment
	err := s.read.QueryRowContext(ctx, `
		SELECT coalesce(max(l.at), 0)
		FROM (SELECT melt_id FROM figure WHERE furnace_id = ? AND state <> 'void' ORDER BY started_at DESC, melt_id DESC LIMIT 5) f
		JOIN line l ON l.melt_id = f.melt_id
		LEFT JOIN strike k ON k.id = (SELECT max(id) FROM strike WHERE line_id = l.id)
		WHERE coalesce(k.struck, 0) = 0 AND l.kind IN ('power_on', 'isolated', 'first_liquid', 'all_molten', 'skim', 'pour')`, furnace).Scan(&at)
	if err != nil {
		return 0, fmt.Errorf("furnace %d last hot: %w", furnace, err)
	}
	return at, nil
}

// CodeOf gives the code of the melt that a line belongs to.
func (s *Store) CodeOf(ctx context.Context, line int64) (melt.Code, error) {
	var code melt.Code
	err := s.read.QueryRowContext(ctx, "SELECT m.code FROM line l JOIN melt m ON m.id = l.melt_id WHERE l.id = ?", line).Scan(&code)
	return code, found("line", err)
}

// shownEvery is how much newer readings have to be for a watching phone to hear
// of them: a logger that sends each second must not keep its page loading.
const shownEvery = 10 * quantity.Second

// Version names what is shown of a melt: it is another after every line, every
// photo and every strike, and once in a while as its curves go on.
func (s *Store) Version(ctx context.Context, code melt.Code) (string, error) {
	var line, strike, photo, struck, curve int64
	err := s.read.QueryRowContext(ctx, `
		SELECT coalesce((SELECT max(id) FROM line WHERE melt_id = m.id), 0),
			coalesce((SELECT max(k.id) FROM line l JOIN strike k ON k.line_id = l.id WHERE l.melt_id = m.id), 0),
			coalesce((SELECT max(p.id) FROM line l JOIN photo p ON p.line_id = l.id WHERE l.melt_id = m.id), 0),
			coalesce((SELECT max(k.id) FROM line l JOIN photo p ON p.line_id = l.id JOIN photo_strike k ON k.photo_id = p.id WHERE l.melt_id = m.id), 0),
			coalesce((SELECT upto FROM melt_curve WHERE melt_id = m.id), 0) / ?
		FROM melt m WHERE m.code = ?`, shownEvery, code).Scan(&line, &strike, &photo, &struck, &curve)
	return fmt.Sprintf("%d-%d-%d-%d-%d", line, strike, photo, struck, curve), found("melt", err)
}

// LineWithKey gives the number of the line of a melt that has a key. It
// returns ErrNotFound when the melt has none.
func (s *Store) LineWithKey(ctx context.Context, code melt.Code, key string) (int64, error) {
	var id int64
	err := s.read.QueryRowContext(ctx, "SELECT l.id FROM line l JOIN melt m ON m.id = l.melt_id WHERE l.key = ? AND m.code = ?", key, code).Scan(&id)
	return id, found("line", err)
}

// errSame says that a line with this key and content is stored already.
var errSame = errors.New("stored already")

// Enter copies in a whole melt, heading and lines, in one step: all of it or
// nothing. The lines are held against one another as if they had come one by
// one. A refusal comes back as *RefusedLine.
func (s *Store) Enter(ctx context.Context, by int64, h melt.Heading, lines []melt.Line, sure bool) (melt.Heading, error) {
	err := s.change(ctx, by, func(t *tx) error {
		had, err := collect(ctx, t, scanHeading, headings+" WHERE key = ?", h.Key)
		if err != nil {
			return fmt.Errorf("enter melt: %w", err)
		}
		if len(had) > 0 {
			h = had[0]
			return nil
		}
		if err := t.start(ctx, &h); err != nil {
			return err
		}
		for i, l := range lines {
			if err := t.add(ctx, h.Code, l, t.now, sure); err != nil {
				return &RefusedLine{Index: i, Err: err}
			}
		}
		return nil
	})
	return h, err
}

// RefusedLine says which of several lines was refused, and why.
type RefusedLine struct {
	Index int
	Err   error
}

func (r *RefusedLine) Error() string { return fmt.Sprintf("line %d: %v", r.Index+1, r.Err) }
func (r *RefusedLine) Unwrap() error { return r.Err }
