package views

import "drosswise/foundry/melt"

// Forms is all that a running melt's page needs to log without the shop: the
// form of every kind of line, that of a strike, and how the power looks after
// its next change. The script fetches it beside the page and keeps it.
type Forms struct {
	Code  melt.Code
	Lines []LineForm
}

func (p Forms) path(more string) string { return "/melts/" + string(p.Code) + more }
