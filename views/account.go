package views

import (
	"strings"

	"drosswise/foundry/quantity"
)

// SetUp is the first page of a new shop: who owns it and how it writes
// numbers.
type SetUp struct {
	Token    string
	Form     Typed
	Settings Settings
}

func (p SetUp) faults() []Fault {
	password, again := p.Form.newPassword()
	all := Faults(p.shopName(), p.name(), password, again)
	return append(all, p.Settings.faults(p.Form)...)
}

func (p SetUp) shopName() Field {
	f := p.Form.field("shop", "Name of the shop", "It stands at the top of every page.")
	f.Autofocus = len(p.Form.Faults) == 0
	return f
}

func (p SetUp) name() Field {
	return nameField(p.Form, "Your name", "You sign in with it, and it stands beside what you log.")
}

func nameField(t Typed, label, hint string) Field {
	f := t.field("name", label, hint)
	f.Autocomplete = "username"
	return f
}

// Join is where a link leads that lets somebody in: a new person, or one who
// needs a new password.
type Join struct {
	Token string
	Role  string
	Name  string // whose password it sets; empty for somebody new
	Form  Typed
}

func (p Join) title() string {
	if p.Name != "" {
		return "Set a new password"
	}
	return "Join the shop"
}

func (p Join) under() string {
	if p.Name != "" {
		return "For " + p.Name + ". It signs you out everywhere else."
	}
	return "As " + p.Role + ": " + RoleSays(p.Role)
}

func (p Join) name() Field {
	return nameField(p.Form, "Your name", "You sign in with it, and it stands beside what you log.")
}

func (p Join) faults() []Fault {
	password, again := p.Form.newPassword()
	if p.Name != "" {
		return Faults(password, again)
	}
	return Faults(p.name(), password, again)
}

// SignIn is the page on which a person signs in.
type SignIn struct {
	Next    string // where to go on to
	Unowned bool   // the shop has not been set up yet
	Refused string // why it did not work; empty at first
	Trust   bool   // the shop is there over HTTPS too, and this visit is not
	Form    Typed
}

func (p SignIn) name() Field {
	f := nameField(p.Form, "Name", "")
	f.Autofocus = p.Refused == ""
	return f
}

func (p SignIn) password() Field {
	return p.Form.password("password", "Password", "", "current-password")
}

func (p SignIn) refusals() []string {
	if p.Refused == "" {
		return nil
	}
	return []string{p.Refused}
}

// Account is what a person sees of their own account.
type Account struct {
	Name     string
	Role     string
	Theme    string
	Hand     string // right or left
	Pad      bool
	SignIns  []SignedIn
	Trust    bool             // the shop is there over HTTPS too
	Calendar *quantity.Moment // when its address was made, nil while there is none
	Form     Typed            // of the password
}

// SignedIn is one device on which the person is signed in.
type SignedIn struct {
	ID       int64
	Device   string
	At, Seen quantity.Moment
	Here     bool
}

func (p Account) themes() Field {
	return Typed{Values: map[string][]string{"theme": {p.Theme}}}.choose("theme", "Colours", "",
		Option{Value: "", Label: "As the device has it"},
		Option{Value: "light", Label: "Light"},
		Option{Value: "dark", Label: "Dark"},
		Option{Value: "glare", Label: "Glare", Hint: "Black on white, for bright sun."})
}

func (p Account) hands() Field {
	return Typed{Values: map[string][]string{"hand": {p.Hand}}}.choose("hand", "The thumb that logs", "The dock of a running melt is laid out for it.",
		Option{Value: "right", Label: "Right"},
		Option{Value: "left", Label: "Left"})
}

func (p Account) pad() Field {
	return Field{Name: "pad", Label: "Number pad with large keys", Checked: p.Pad,
		Hint: "On touch screens, in place of the phone's keyboard. Without script the phone's keyboard is there."}
}

func (p Account) current() Field {
	return p.Form.password("current", "Present password", "", "current-password")
}

func (p Account) faults() []Fault {
	password, again := p.Form.newPassword()
	return Faults(p.current(), password, again)
}

func (p Account) ledger(s quantity.Style) Ledger {
	var l Ledger
	for _, v := range p.SignIns {
		r := Row{
			Time: dayAndMonth(s.Date(v.Seen)), Verb: v.Device,
			Note: "Signed in on " + s.DateTime(v.At) + ", last seen about " + s.DateTime(v.Seen) + ".",
		}
		if v.Here {
			r.Text = "(this one)"
		} else {
			r.Tap = []Action{{Label: "End it", Href: "/account/signins/" + idText(v.ID) + "/end", Post: true}}
		}
		l.Rows = append(l.Rows, r)
	}
	return l
}

// dayAndMonth takes the year off a date, for the narrow column of a ledger.
func dayAndMonth(date string) string { return date[:strings.LastIndexByte(date, ' ')] }

// RoleSays is what a role may do.
func RoleSays(role string) string {
	switch role {
	case "owner":
		return "logs melts, sets the shop up and lets people in."
	case "melter":
		return "logs melts, scrap and kit."
	default:
		return "looks at everything and changes nothing."
	}
}
