package views

// Table is a table that never scrolls sideways: where it has more than three
// columns, its rows become blocks on the phone.
type Table struct {
	Caption string // always said, shown only where Section gives no title
	Columns []Column
	Rows    [][]Cell // the first cell heads its row
	Empty   string   // the sentence shown when there are none
}

// Column is a column's title; numbers stand right.
type Column struct {
	Title  string
	Number bool
}

// Cell is what stands in a row and a column.
type Cell struct {
	Text string
	Sub  string // a small second line
	Href string
}

func (t Table) class() string {
	if len(t.Columns) > 3 {
		return "table wide"
	}
	return "table"
}

// column is the column of a cell; a row that is too long has plain ones.
func (t Table) column(i int) Column {
	if i < len(t.Columns) {
		return t.Columns[i]
	}
	return Column{}
}
