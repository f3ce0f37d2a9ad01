package views

// Advice is a sentence with a rule at its side: what was noticed and what to
// do about it.
type Advice struct {
	Lead string // the first words, in bold; may be empty
	Text string
	Link *Link
}

// Cautions are what can hurt at this step, each with its reason and source.
type Cautions struct {
	Title string
	List  []Caution
}

// Caution is one of them. With a Name it is a row to tick: a tick records that
// it was read, and proves nothing.
type Caution struct {
	Text   string
	Why    string
	Source string
	Name   string
	Value  string
	Ticked bool
}

// Empty stands where there is nothing yet, and says what to do first.
type Empty struct {
	Title    string
	Sentence string
	Action   Link // no button when its text is empty
}

// Pager leads to newer and older pages of a list; nil where there is none.
type Pager struct {
	Newer, Older *Link
	Says         string // which part of the list this is
}
