package postgres

import (
	"context"
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"

	"gelwright/store"
)

// again reports whether a change failed by what another did meanwhile alone: two that could not both be done in one order (40001),
// each waited for the other (40P01), both wrote the same new thing (23505).
func again(err error) bool {
	code := codeOf(err)
	return code == "40001" || code == "40P01" || code == "23505"
}

// codeOf is the server's five letters for an error; empty of any other.
func codeOf(err error) string {
	var said *pgconn.PgError
	if errors.As(err, &said) {
		return said.Code
	}
	return ""
}

// away reports whether an error is that of a line that is lost, or was never had.
func away(err error) bool {
	var unreached *pgconn.ConnectError
	var line net.Error
	return errors.As(err, &unreached) || errors.As(err, &line) || errors.Is(err, driver.ErrBadConn) || errors.Is(err, io.EOF) ||
		errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) || pgconn.SafeToRetry(err)
}

// meanings are what the server's letters mean to a person; the first that begins as they do.
var meanings = []struct {
	code          string
	kind          store.Kind
	found, remedy string
}{
	{"53100", store.Full, "the server's disk is full", "Make room on it, then do it again"},
	{"28", store.Failed, "the server lets this user not in",
		"Check user and password: GELWRIGHT_DATABASE, PGPASSWORD or the file that PGPASSFILE names"},
	{"3D000", store.Failed, "the server has no such database", "Make it (createdb --encoding=UTF8 NAME) or give another name"},
	{"42501", store.Failed, "it may not be written", "Give this user the right to make tables and to write in the database"},
	{"25006", store.Failed, "it may not be written", "Give the server that is written to, not one that follows it"},
	{"53300", store.Failed, "the server takes no more connections", "Raise max_connections, or run fewer programs, then do it again"},
	{"55P03", store.Failed, "another program holds what is to be changed", "Wait for its end, then do it again"},
	{"40", store.Failed, "others were in the way each time that it was tried", "Wait a little, then do it again"},
	{"XX", store.Damaged, "the database is damaged", "Stop the server and bring back a backup"},
	{"57P", store.Failed, "the server is ending or beginning", "Wait until it runs, then do it again"},
	{"", store.Failed, "the database did not do it", "Look into the server's log, then do it again"},
}

// fault makes an *store.Error of what database or disk said; one that is one already, and the end of a context, stay as they are.
func fault(place string, err error) error {
	var known *store.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	code := codeOf(err)
	if code == "" && away(err) {
		return &store.Error{Kind: store.Failed, Place: place, Found: "the server does not answer", Cause: err,
			Remedy: "Check that PostgreSQL runs at this address, then do it again"}
	}
	for _, m := range meanings {
		if strings.HasPrefix(code, m.code) {
			return &store.Error{Kind: m.kind, Place: place, Found: m.found, Cause: err, Remedy: m.remedy}
		}
	}
	return err
}
