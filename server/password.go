package main

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// The cost of a password: argon2id with 19 MiB, two passes and one lane
// (OWASP Password Storage Cheat Sheet, its first choice of equal strength).
const (
	hashMemory = 19 * 1024 // KiB
	hashPasses = 2
	hashLanes  = 1
	saltLength = 16
	hashLength = 32
)

// The length of a password in letters.
const (
	shortestPassword = 10
	longestPassword  = 200
)

// hashing lets two passwords be hashed at once, so that a rush of sign-ins
// cannot fill the memory of a small machine.
var hashing = make(chan struct{}, 2)

// stranger is checked in the place of a password when nobody has the name, so
// that the time it takes does not tell.
var stranger = phc(make([]byte, saltLength), make([]byte, hashLength))

// hashPassword gives a password as a PHC string, waiting for its turn.
func hashPassword(ctx context.Context, password string) (string, error) {
	salt := make([]byte, saltLength)
	rand.Read(salt) // never fails
	sum, err := hash(ctx, password, salt)
	if err != nil {
		return "", err
	}
	return phc(salt, sum), nil
}

// checkPassword reports whether a password is the one that was hashed.
func checkPassword(ctx context.Context, stored, password string) (bool, error) {
	salt, want, err := readPHC(stored)
	if err != nil {
		return false, err
	}
	sum, err := hash(ctx, password, salt)
	if err != nil {
		return false, err
	}
	return subtle.ConstantTimeCompare(sum, want) == 1, nil
}

func hash(ctx context.Context, password string, salt []byte) ([]byte, error) {
	select {
	case hashing <- struct{}{}:
		defer func() { <-hashing }()
	case <-ctx.Done():
		return nil, fmt.Errorf("wait to hash a password: %w", ctx.Err())
	}
	return argon2.IDKey([]byte(password), salt, hashPasses, hashMemory, hashLanes, hashLength), nil
}

// phcHead stands before salt and hash; a hash of another cost would have
// another head.
var phcHead = fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$", argon2.Version, hashMemory, hashPasses, hashLanes)

func phc(salt, sum []byte) string {
	return phcHead + base64.RawStdEncoding.EncodeToString(salt) + "$" + base64.RawStdEncoding.EncodeToString(sum)
}

func readPHC(stored string) (salt, sum []byte, err error) {
	rest, ours := strings.CutPrefix(stored, phcHead)
	head, tail, cut := strings.Cut(rest, "$")
	if !ours || !cut {
		return nil, nil, errors.New("stored password is of an unknown kind")
	}
	if salt, err = base64.RawStdEncoding.DecodeString(head); err != nil {
		return nil, nil, fmt.Errorf("salt of a stored password: %w", err)
	}
	if sum, err = base64.RawStdEncoding.DecodeString(tail); err != nil {
		return nil, nil, fmt.Errorf("stored password: %w", err)
	}
	return salt, sum, nil
}

// newPassword reads a password that was chosen and typed twice. It is taken as
// it was typed: white space belongs to it.
func (f *form) newPassword() string {
	password := f.values.Get("password")
	switch n := utf8.RuneCountInString(password); {
	case n == 0:
		f.fault("password", "Choose a password.")
	case n < shortestPassword:
		f.fault("password", "That is too short. Take at least 10 letters or digits.")
	case n > longestPassword:
		f.fault("password", "That is too long. Take at most 200 letters.")
	case f.values.Get("again") != password:
		f.fault("again", "The two are not the same. Type the password twice.")
	}
	return password
}
