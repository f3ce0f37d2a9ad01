package store

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// rankBits is the part of a rank that holds the melt's id: two million melts.
const rankBits = 21

// rankFrom is the first of 2000 in UTC; no melt is older.
const rankFrom = quantity.Moment(946_684_800_000)

// rank is a number by which melts are in the order of lists: by time, then by
// id. The index of words is kept in that order, so that a search gives the
// next page at once however much it would find.
func rank(at quantity.Moment, id int64) int64 { return int64(at-rankFrom)<<rankBits | id }

// foundWords joins what a search finds to the figures.
var foundWords = fmt.Sprintf("melt_words w CROSS JOIN figure f ON f.melt_id = w.rowid & %d", 1<<rankBits-1)

// searchTerms makes of typed words what the search understands: all of them,
// each from its beginning. Nothing typed gives "".
func searchTerms(words string) string {
	var terms []string
	for _, w := range strings.Fields(strings.ReplaceAll(words, "\x00", " ")) { // a zero byte would end the query
		terms = append(terms, `"`+strings.ReplaceAll(w, `"`, `""`)+`"*`)
	}
	return strings.Join(terms, " ")
}

// match asks for terms together with the source and furnace of the filter.
func (f Filter) match(terms string) string {
	terms = "words : (" + terms + ")"
	if f.Source != 0 {
		terms += fmt.Sprintf(` AND tags : "s%d"`, f.Source)
	}
	if f.Furnace != 0 {
		terms += fmt.Sprintf(` AND tags : "f%d"`, f.Furnace)
	}
	return terms
}

// tags stand in the index of words for what filters ask for.
func tags(r row) string {
	all := []string{fmt.Sprintf("f%d", r.furnace)}
	if r.state != melt.Voided {
		for source := range r.sources {
			all = append(all, fmt.Sprintf("s%d", source))
		}
	}
	slices.Sort(all)
	return strings.Join(all, " ")
}

// storeWords keeps the index of words in step with the figures.
func (t *tx) storeWords(ctx context.Context, r, old row, into *pending) error {
	is, was := rank(r.started, r.melt), rank(old.started, r.melt)
	had := old.words != "" // a melt's code is always among its words
	if had && is == was && r.words == old.words && tags(r) == tags(old) {
		return nil
	}
	if had {
		if _, err := t.ExecContext(ctx, "DELETE FROM melt_words WHERE rowid = ?", was); err != nil {
			return fmt.Errorf("search words: %w", err)
		}
	}
	into.words = append(into.words, wordRow{is, r.words, tags(r)})
	return nil
}

// wordRow is a row of the index of words.
type wordRow struct {
	Row         int64
	Words, Tags string
}

// indexWords writes rows of the index in one statement: the index sorts what a
// statement adds once, however much it is.
func (t *tx) indexWords(ctx context.Context, rows []wordRow) error {
	if len(rows) == 0 {
		return nil
	}
	list, err := json.Marshal(rows)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, "INSERT INTO melt_words (rowid, words, tags) SELECT value ->> 'Row', value ->> 'Words', value ->> 'Tags' FROM json_each(?)", string(list))
	if err != nil {
		return fmt.Errorf("search words: %w", err)
	}
	return nil
}
