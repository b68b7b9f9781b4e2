package postgres

import (
	"net"
	"net/netip"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"gelwright/store"
)

// settings are those of a connection whose address does not say otherwise: how long a change waits for another (ms), and how soon a
// program is noticed that is gone with its machine, so that what it held is free again (s).
var settings = map[string]string{"application_name": "gelwright", "lock_timeout": "20000", "idle_in_transaction_session_timeout": "600000",
	"tcp_keepalives_idle": "30", "tcp_keepalives_interval": "10", "tcp_keepalives_count": "3"}

// configOf reads an address. To another computer it goes by TLS alone, unless the address or PGSSLMODE says otherwise.
func configOf(address string) (*pgx.ConnConfig, error) {
	config, err := pgx.ParseConfig(address)
	if err != nil {
		// The error says what of the address is wrong, its password left out.
		return nil, &store.Error{Kind: store.Refused, Place: "database", Found: "its address cannot be read", Cause: err,
			Remedy: "Write it as postgres://user@host:5432/name"}
	}
	for name, value := range settings {
		if _, said := config.RuntimeParams[name]; !said {
			config.RuntimeParams[name] = value
		}
	}
	config.RuntimeParams["synchronous_commit"] = "on" // what done means, whatever the server's own setting
	if !here(config.Host) && !strings.Contains(address, "sslmode") && os.Getenv("PGSSLMODE") == "" {
		config.Fallbacks = slices.DeleteFunc(config.Fallbacks, func(f *pgconn.FallbackConfig) bool { return f.TLSConfig == nil && !here(f.Host) })
	}
	return config, nil
}

// here reports whether a host is this computer: a socket or its own addresses.
func here(host string) bool {
	ip, err := netip.ParseAddr(host)
	return strings.HasPrefix(host, "/") || host == "localhost" || err == nil && ip.IsLoopback()
}

// TellsPassword reports whether an address has a password in it.
func TellsPassword(address string) bool {
	_, after, url := strings.Cut(address, "://")
	user, _, named := strings.Cut(after, "@")
	return url && named && strings.Contains(user, ":") || strings.Contains(address, "password")
}

// placeOf names a database to a person: its address without user and password.
func placeOf(config *pgx.ConnConfig) string {
	if strings.HasPrefix(config.Host, "/") { // a socket
		return "postgres:///" + config.Database + "?host=" + config.Host
	}
	return "postgres://" + net.JoinHostPort(config.Host, strconv.Itoa(int(config.Port))) + "/" + config.Database
}
