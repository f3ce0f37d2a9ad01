package api

import "time"

// Numbered names one thing by its number.
type Numbered struct {
	ID int64 `path:"id" minimum:"1" doc:"Its number."`
}

// Coded names a melt.
type Coded struct {
	Code string `path:"code" maxLength:"20" doc:"The melt's code, such as A26-041."`
}

// OfLine names a line of what is named beside it.
type OfLine struct {
	Line int64 `path:"line" minimum:"1" doc:"The line's number."`
}

// OfLot names a delivery of a kind of scrap.
type OfLot struct {
	Lot int64 `path:"lot" minimum:"1" doc:"The delivery's number."`
}

// Once is a body with the key by which it is done once.
type Once[T any] struct {
	Keyed
	Body T
}

// Picture is a photo on its way in.
type Picture struct {
	Keyed
	At      time.Time `query:"at" doc:"When it was taken; now when it is left out."`
	Note    string    `query:"note" maxLength:"2000"`
	RawBody []byte    `contentType:"image/jpeg"`
}
