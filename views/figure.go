package views

// Figure is a large plain number with its range and unit, and one sentence
// that says what it is. Where inputs are missing, Missing says which, and the
// number is left out: blank is not zero.
type Figure struct {
	Value    string
	Range    string // such as "± 0.4"
	Unit     string
	Sentence string
	Missing  string
	Rough    bool // known only roughly: the number is underlined with dashes
}

// Fact is one line of what is known about a thing.
type Fact struct{ Term, Value, Note string }
