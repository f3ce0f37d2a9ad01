package views

// Weight is how strongly a button asks to be pressed.
type Weight string

// The weights of a button. A page has one main button at most.
const (
	Main  Weight = "btn main"
	Plain Weight = "btn"
	Quiet Weight = "btn quiet"
)

// Hidden is a value that a form sends without showing it.
type Hidden struct{ Name, Value string }

// Action is one thing to do, in one tap: it leads to Href or, with Post, posts
// there at once.
type Action struct {
	Label  string
	Under  string // a few words below the label
	Href   string
	Post   bool
	Key    string // with Post: key of the line that the tap makes
	Fields []Hidden
}
