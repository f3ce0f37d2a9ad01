package api

import (
	"time"
)

// Shop is what holds for the whole shop.
type Shop struct {
	Name     string   `json:"name" form:"shop" minLength:"1" maxLength:"80"`
	Zone     string   `json:"zone" form:"zone" doc:"IANA name of its time zone, such as Europe/London."`
	MassUnit string   `json:"mass_unit" form:"mass_unit" enum:"kg,g,lb" doc:"In which its pages show masses."`
	Degrees  string   `json:"temperature" form:"temperature" enum:"C,F" doc:"In which its pages show temperatures."`
	Mark     string   `json:"mark" form:"mark" enum:"point,comma" doc:"Decimal mark of its pages."`
	Currency string   `json:"currency" form:"currency" minLength:"3" maxLength:"3" doc:"ISO 4217."`
	Ambient  *float64 `json:"ambient_c,omitempty" form:"ambient" unit:" °C" doc:"Usual temperature of the shed, °C."`
	Points   *string  `json:"points,omitempty" form:"points" maxLength:"2000" doc:"Its own points of the check before power on, one to a line."`
}

// ShopChange is the shop as a program sets it.
type ShopChange struct {
	Shop
	Sure bool `json:"sure,omitempty" form:"sure" doc:"Change the currency although what was logged in another is not converted."`
}

// Band is a time of day with a price of its own.
type Band struct {
	From  string  `json:"from" doc:"On the shop's clock, such as 23:00."`
	To    string  `json:"to"`
	Price float64 `json:"price_per_kwh"`
}

// Tariff is a price of electricity from a day on.
type Tariff struct {
	From  string  `json:"from" form:"from" format:"date" doc:"First day on which it holds."`
	Price float64 `json:"price_per_kwh" form:"price" doc:"In units of the currency."`
	Bands []Band  `json:"bands,omitempty" nullable:"false" maxItems:"4" doc:"Times of day with another price."`
}

// ListedTariff is a price of electricity that stands.
type ListedTariff struct {
	ID int64 `json:"id"`
	Tariff
}

// Person is somebody with an account.
type Person struct {
	ID    int64      `json:"id"`
	Name  string     `json:"name"`
	Role  Role       `json:"role"`
	Since time.Time  `json:"since"`
	Ended *time.Time `json:"ended" doc:"null while the account stands."`
}

// Me is who asks.
type Me struct {
	Person
	Scope string `json:"scope,omitempty" doc:"How far the token reaches; absent for a browser that is signed in."`
}

// RoleChange gives a person a role.
type RoleChange struct {
	Role Role `json:"role" form:"role"`
}

// Link lets somebody in, once.
type Link struct {
	Link    string    `json:"link" doc:"For the one person it is meant for. It is shown only now."`
	Expires time.Time `json:"expires"`
}

// DueRule says when a kind of kit is due for a look.
type DueRule struct {
	Kind  KitKind `json:"kind"`
	Heats *int    `json:"heats" doc:"null when it is not by heats."`
	Days  *int    `json:"days" doc:"null when it is not by days; with neither it is off the list."`
}

// Photo is what is known of a photo. The picture is at /photos/{id}.jpg, a small
// one at /photos/{id}/thumb.jpg.
type Photo struct {
	ID      int64     `json:"id"`
	Key     string    `json:"key"`
	Line    int64     `json:"line,omitempty" doc:"Number of the line of a melt that it is of."`
	KitLine int64     `json:"kit_line,omitempty"`
	Lot     int64     `json:"lot,omitempty"`
	At      time.Time `json:"at" doc:"When it was taken."`
	Noted   time.Time `json:"noted"`
	By      int64     `json:"by"`
	Note    string    `json:"note,omitempty"`
	Width   int       `json:"width" doc:"Pixels."`
	Height  int       `json:"height"`
	Struck  *Struck   `json:"struck"`
}

// Copy is a copy of the whole shop.
type Copy struct {
	Name  string    `json:"name"`
	At    time.Time `json:"at"`
	Bytes int64     `json:"bytes"`
	Good  bool      `json:"good" doc:"false for one that was cut short or is dated in the future: it does not count."`
}

// Copies are the copies and how the last try went.
type Copies struct {
	Copies   []Copy     `json:"copies" nullable:"false"`
	Failure  string     `json:"failure,omitempty" doc:"Why the last try made none; absent when it made one."`
	FailedAt *time.Time `json:"failed_at,omitempty"`
}
