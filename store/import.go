package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// Import is melts that were brought in together from a table of old notes.
type Import struct {
	ID     int64
	At     quantity.Moment
	By     int64
	File   string
	Melts  int
	Struck *scrap.Strike // nil while it stands
}

// OldNotes is what is brought in: a table's rows as they were matched.
type OldNotes struct {
	Key     string // made by the form; the same key brings in once
	File    string
	Columns []string // of the table, to remember the match by
	Match   notebook.Match
	Drafts  []notebook.Draft // those without faults
}

// Import brings in old notes in one step: every row as a closed melt, or none of
// them. Rows that are in the book already, from this file or another, change
// nothing; when all are, the import has no melts and the id 0. Scrap that has no
// name here yet is added. What is refused comes back as *RefusedRow. The match is
// remembered.
func (s *Store) Import(ctx context.Context, by int64, n OldNotes) (i Import, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		had, err := collect(ctx, t, scanImport, imports+" WHERE i.key = ?", n.Key)
		if err != nil {
			return fmt.Errorf("import: %w", err)
		}
		if len(had) > 0 {
			i = had[0]
			return t.sameRows(ctx, i.ID, n.Drafts)
		}
		if err := t.rememberMatch(ctx, oldNotesMatches, n.Columns, n.Match); err != nil {
			return err
		}
		drafts, err := t.newRows(ctx, n.Drafts)
		if err != nil || len(drafts) == 0 {
			return err
		}
		i = Import{At: t.now, By: by, File: n.File, Melts: len(drafts)}
		r, err := t.ExecContext(ctx, "INSERT INTO import (key, at, person_id, file) VALUES (?,?,?,?)", n.Key, t.now, by, n.File)
		if err != nil {
			return clashes("import", err)
		}
		if i.ID, err = r.LastInsertId(); err != nil {
			return err
		}
		return t.bringIn(ctx, i.ID, drafts)
	})
	return i, err
}

// sameRows gives ErrKeyUsed where an import brought in rows that are not among
// these: its key came with another table.
func (t *tx) sameRows(ctx context.Context, id int64, drafts []notebook.Draft) error {
	brought, err := collect(ctx, t, func(rows *sql.Rows) (key string, err error) {
		err = rows.Scan(&key)
		return key, err
	}, "SELECT row_key FROM import_row WHERE import_id = ?", id)
	if err != nil {
		return fmt.Errorf("rows of an import: %w", err)
	}
	here := map[string]bool{}
	for _, d := range drafts {
		here[d.Key] = true
	}
	for _, key := range brought {
		if !here[key] {
			return fmt.Errorf("the key stands for another import: %w", ErrKeyUsed)
		}
	}
	return nil
}

// newRows leaves of drafts those whose row is not in the book, in the order of
// their days, so that codes are given in it.
func (t *tx) newRows(ctx context.Context, drafts []notebook.Draft) ([]notebook.Draft, error) {
	known, err := rowsIn(ctx, t, drafts)
	if err != nil {
		return nil, err
	}
	fresh := slices.DeleteFunc(slices.Clone(drafts), func(d notebook.Draft) bool { return known[d.Key] != "" })
	slices.SortStableFunc(fresh, func(a, b notebook.Draft) int { return cmp.Compare(a.Heading.At, b.Heading.At) })
	return fresh, nil
}

// RowsIn says of drafts which are in the book already, with the code of the melt
// each became, by the key of the row.
func (s *Store) RowsIn(ctx context.Context, drafts []notebook.Draft) (map[string]melt.Code, error) {
	return rowsIn(ctx, s.read, drafts)
}

func rowsIn(ctx context.Context, q querier, drafts []notebook.Draft) (map[string]melt.Code, error) {
	keys := make([]string, len(drafts))
	for i, d := range drafts {
		keys[i] = d.Key
	}
	list, err := json.Marshal(keys)
	if err != nil {
		return nil, err
	}
	rows, err := q.QueryContext(ctx, `SELECT r.row_key, m.code FROM json_each(?) k JOIN import_row r ON r.row_key = k.value
		JOIN import i ON i.id = r.import_id AND i.struck_at IS NULL JOIN melt m ON m.id = r.melt_id`, string(list))
	if err != nil {
		return nil, fmt.Errorf("rows in the book: %w", err)
	}
	defer rows.Close()
	in := map[string]melt.Code{}
	for rows.Next() {
		var key string
		var code melt.Code
		if err := rows.Scan(&key, &code); err != nil {
			return nil, fmt.Errorf("rows in the book: %w", err)
		}
		in[key] = code
	}
	return in, rows.Err()
}

// bringIn writes the drafts as melts of an import.
func (t *tx) bringIn(ctx context.Context, id int64, drafts []notebook.Draft) error {
	named, err := t.sourcesNamed(ctx, id, drafts)
	if err != nil {
		return err
	}
	c, err := t.commonFacts(ctx, 0)
	if err != nil {
		return err
	}
	for n, d := range drafts {
		h := d.Heading
		h.Key = fmt.Sprintf("import-%d-%d", id, n+1)
		lines, err := t.write(ctx, &h, d, named)
		if err != nil {
			return &RefusedRow{Row: d.Row, Err: err}
		}
		if err := t.refigureWith(ctx, c, h, lines); err != nil {
			return err
		}
		_, err = t.ExecContext(ctx, "INSERT INTO import_row (import_id, row_key, row, melt_id) VALUES (?,?,?,?)", id, d.Key, d.Row, h.ID)
		if err != nil {
			return clashes("row of an import", err)
		}
	}
	return nil
}

// RefusedRow says which row of a table was refused, and why.
type RefusedRow struct {
	Row int // line of the file, counted from 1
	Err error
}

func (r *RefusedRow) Error() string { return fmt.Sprintf("row at line %d: %v", r.Row, r.Err) }
func (r *RefusedRow) Unwrap() error { return r.Err }

// write writes the heading of a melt and its lines, which are held against one
// another as if they had come one by one. Doubts were settled before.
func (t *tx) write(ctx context.Context, h *melt.Heading, d notebook.Draft, named map[string]int64) ([]melt.Line, error) {
	if err := t.head(ctx, h); err != nil {
		return nil, err
	}
	var had []melt.Line
	bench := melt.Bench{Now: t.now, Sure: true}
	for n, x := range d.Lines {
		l := x.Line
		l.Key, l.By, l.Noted = fmt.Sprintf("%s-%d", h.Key, n+1), t.by, t.now
		if l.Kind == melt.Charge {
			l.Source = named[x.Scrap]
		}
		if err := melt.Check(*h, had, l, bench); err != nil {
			return nil, err
		}
		if err := t.checkNames(ctx, *h, l); err != nil {
			return nil, err
		}
		if err := t.insertLine(ctx, h.ID, &l); err != nil {
			return nil, err
		}
		had = append(had, l)
	}
	return had, nil
}

// sourcesNamed gives the scrap that drafts name, and adds what is not there.
func (t *tx) sourcesNamed(ctx context.Context, id int64, drafts []notebook.Draft) (map[string]int64, error) {
	named := map[string]int64{}
	for _, d := range drafts {
		for _, l := range d.Lines {
			if _, ok := named[l.Scrap]; ok || l.Kind != melt.Charge {
				continue
			}
			var source int64
			err := t.QueryRowContext(ctx, "SELECT id FROM source WHERE name = ?", l.Scrap).Scan(&source)
			if errors.Is(err, sql.ErrNoRows) {
				key := fmt.Sprintf("import-%d-source-%d", id, len(named)+1)
				source, err = t.addSource(ctx, scrap.Source{Key: key, Name: l.Scrap, Form: scrap.Other})
			}
			if err != nil {
				return nil, fmt.Errorf("scrap of old notes: %w", err)
			}
			named[l.Scrap] = source
		}
	}
	return named, nil
}

const imports = `SELECT i.id, i.at, i.person_id, i.file, (SELECT count(*) FROM import_row r WHERE r.import_id = i.id), i.struck_at, i.struck_by, i.reason FROM import i`

func scanImport(rows *sql.Rows) (i Import, err error) {
	var at *quantity.Moment
	var by sql.NullInt64
	var reason string
	err = rows.Scan(&i.ID, &i.At, &i.By, &i.File, &i.Melts, &at, &by, &reason)
	if at != nil {
		i.Struck = &scrap.Strike{At: *at, By: by.Int64, Reason: reason}
	}
	return i, err
}

// Imports lists all imports, the newest first.
func (s *Store) Imports(ctx context.Context) ([]Import, error) {
	all, err := collect(ctx, s.read, scanImport, imports+" ORDER BY i.id DESC")
	if err != nil {
		return nil, fmt.Errorf("imports: %w", err)
	}
	return all, nil
}

// ImportedMelt is a melt that a row became.
type ImportedMelt struct {
	Row   int // line of the file, counted from 1
	Code  melt.Code
	At    quantity.Moment
	State melt.State
}

// ImportOf reads an import and its melts in the order of their codes.
func (s *Store) ImportOf(ctx context.Context, id int64) (i Import, melts []ImportedMelt, err error) {
	err = s.snapshot(ctx, func(q querier) error {
		had, err := collect(ctx, q, scanImport, imports+" WHERE i.id = ?", id)
		if err != nil {
			return fmt.Errorf("import: %w", err)
		}
		if len(had) == 0 {
			return fmt.Errorf("import %d: %w", id, ErrNotFound)
		}
		i = had[0]
		melts, err = collect(ctx, q, func(rows *sql.Rows) (m ImportedMelt, err error) {
			err = rows.Scan(&m.Row, &m.Code, &m.At, &m.State)
			return m, err
		}, `SELECT r.row, m.code, m.at, f.state FROM import_row r JOIN melt m ON m.id = r.melt_id JOIN figure f ON f.melt_id = m.id
			WHERE r.import_id = ? ORDER BY m.id`, id)
		return err
	})
	return i, melts, err
}

// StrikeImport takes a whole import out of account: every melt of it is made
// void, in one step. The melts stay in the book and their rows can come in
// again. Striking what is struck changes nothing.
func (s *Store) StrikeImport(ctx context.Context, by, id int64, reason string) error {
	return s.change(ctx, by, func(t *tx) error {
		had, err := collect(ctx, t, scanImport, imports+" WHERE i.id = ?", id)
		if err != nil {
			return fmt.Errorf("strike import: %w", err)
		}
		if len(had) == 0 {
			return fmt.Errorf("import %d: %w", id, ErrNotFound)
		}
		if had[0].Struck != nil {
			return nil
		}
		_, err = t.ExecContext(ctx, "UPDATE import SET struck_at = ?, struck_by = ?, reason = ? WHERE id = ?", t.now, by, reason, id)
		if err != nil {
			return fmt.Errorf("strike import: %w", err)
		}
		return t.voidImport(ctx, id, reason)
	})
}

// voidImport makes the melts of an import void that are not so already.
func (t *tx) voidImport(ctx context.Context, id int64, reason string) error {
	c, err := t.commonFacts(ctx, 0)
	if err != nil {
		return err
	}
	all, err := collect(ctx, t, scanHeading, headings+" WHERE id IN (SELECT melt_id FROM import_row WHERE import_id = ?) ORDER BY id", id)
	if err != nil {
		return fmt.Errorf("melts of import %d: %w", id, err)
	}
	for n, h := range all {
		lines, err := meltLines(ctx, t, h.ID)
		if err != nil {
			return err
		}
		if melt.StateOf(melt.Standing(lines)) == melt.Voided {
			continue
		}
		l := melt.Line{Key: fmt.Sprintf("import-%d-void-%d", id, n+1), Kind: melt.Void, At: t.now, Note: reason, By: t.by, Noted: t.now}
		if err := melt.Check(h, lines, l, melt.Bench{Now: t.now, Sure: true}); err != nil {
			return err
		}
		if err := t.insertLine(ctx, h.ID, &l); err != nil {
			return err
		}
		if err := t.refigureWith(ctx, c, h, append(lines, l)); err != nil {
			return err
		}
	}
	return nil
}
