package table

import (
	"bytes"
	"fmt"
	"strings"
)

// looked is how many rows are looked at to find out what a file is like.
const looked = 100

// cutSep takes off the line "sep=;" with which some spreadsheet programs say
// what the delimiter is.
func cutSep(text []byte) (rest []byte, lines int, d Delimiter) {
	first, rest, _ := bytes.Cut(text, []byte("\n"))
	said, ok := strings.CutPrefix(strings.TrimSuffix(string(first), "\r"), "sep=")
	if !ok || len(said) != 1 {
		return text, 0, 0
	}
	switch d := Delimiter(said[0]); d {
	case Tab, Semicolon, Comma:
		return rest, 1, d
	}
	return text, 0, 0
}

// guessDelimiter takes the delimiter by which most rows have equally many
// cells, two at least. Commas come last: they are also decimal marks and stand
// in notes.
func guessDelimiter(text []byte) Guess[Delimiter] {
	type try struct {
		d           Delimiter
		alike, most int // how many rows have as many cells as most rows, and how many cells that is
		rows        int
	}
	var best, second try
	for _, d := range []Delimiter{Tab, Semicolon, Comma} {
		x := try{d: d}
		x.alike, x.most, x.rows = alike(text, d)
		switch {
		case x.most < 2:
		case float64(x.alike)*float64(max(best.rows, 1)) > float64(best.alike)*float64(x.rows):
			best, second = x, best
		case x.alike > second.alike:
			second = x
		}
	}
	if best.most < 2 {
		return Guess[Delimiter]{Comma, false, "No row has a tab, a semicolon or a comma between two cells, so there is one column."}
	}
	share := "all"
	if best.alike < best.rows {
		share = fmt.Sprintf("%d of the first %d", best.alike, best.rows)
	}
	why := fmt.Sprintf("With it %s rows have %d cells.", share, best.most)
	return Guess[Delimiter]{best.d, best.alike == best.rows && second.alike < best.alike, why}
}

// alike splits the first rows by a delimiter and counts how many have the most
// common number of cells.
func alike(text []byte, d Delimiter) (n, most, rows int) {
	count := map[int]int{}
	r := reader(bytes.NewReader(text), d)
	for rows < looked {
		record, err := r.Read()
		if err != nil {
			break
		}
		if strings.Join(record, "") == "" {
			continue
		}
		rows++
		count[len(record)]++
	}
	for cells, rows := range count {
		if rows > n || rows == n && cells > most {
			n, most = rows, cells
		}
	}
	return n, most, rows
}
