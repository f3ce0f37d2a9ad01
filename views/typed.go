package views

// Typed is a form as it was typed, or as it stands, with what is wrong with
// it. Passwords never come back.
type Typed struct {
	Values map[string][]string
	Faults map[string]string
}

func (t Typed) value(name string) string {
	if v := t.Values[name]; len(v) > 0 {
		return v[0]
	}
	return ""
}

// field is a field that has to be filled in.
func (t Typed) field(name, label, hint string) Field {
	return Field{Name: name, Label: label, Hint: hint, Value: t.value(name), Error: t.Faults[name], Required: true}
}

// choose is a field with answers to choose from.
func (t Typed) choose(name, label, hint string, options ...Option) Field {
	f := t.field(name, label, hint)
	f.Options = options
	for i := range f.Options {
		f.Options[i].Selected = f.Options[i].Value == f.Value && t.Values[name] != nil
	}
	return f
}

// password is a field for a password that is there already, or for a new one.
func (t Typed) password(name, label, hint, autocomplete string) Field {
	f := t.field(name, label, hint)
	f.Value, f.Type, f.Autocomplete = "", "password", autocomplete
	return f
}

const passwordHint = "At least 10 letters or digits. A few words that only you would put together are good."

// newPassword are the two fields in which a password is chosen.
func (t Typed) newPassword() (first, again Field) {
	return t.password("password", "New password", passwordHint, "new-password"),
		t.password("again", "The same once more", "", "new-password")
}
