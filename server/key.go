package main

import (
	"crypto/rand"
	"encoding/hex"
	"strconv"
)

// newKey makes a key for a form on a page without script. A phone with script
// puts its own in its place.
func newKey() string {
	b := make([]byte, 16)
	rand.Read(b) // never fails
	return hex.EncodeToString(b)
}

// pathID reads a number out of an address; 0, which names nothing, for what is
// none.
func pathID(text string) int64 {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil || id < 0 {
		return 0
	}
	return id
}
