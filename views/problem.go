package views

// Problem says that something could not be done, and what to do.
type Problem struct {
	Title     string
	Detail    string
	ID        string // the number under which the log has it; may be empty
	SignedOut bool
}

func (p Problem) next() Link {
	if p.SignedOut {
		return Link{Text: "Sign in", Href: "/signin"}
	}
	return Link{Text: "Back to today", Href: "/"}
}
