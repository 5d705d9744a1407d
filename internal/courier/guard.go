package courier

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"syscall"
)

// errPrivate is the error of an address that is not called.
var errPrivate = errors.New("an address of a private network")

// special is the networks that are not of the public internet: those of the IANA
// IPv4 and IPv6 Special-Purpose Address Registries (RFC 6890) that are not globally
// reachable, multicast, and those that carry an IPv4 address inside.
var special = networks(
	"0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24", "192.0.2.0/24", "192.88.99.0/24",
	"192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "224.0.0.0/4", "240.0.0.0/4",
	"::/127", "64:ff9b::/96", "64:ff9b:1::/48", "100::/64", "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20", "5f00::/16",
	"fc00::/7", "fe80::/10", "fec0::/10", "ff00::/8")

func networks(texts ...string) (out []netip.Prefix) {
	for _, t := range texts {
		out = append(out, netip.MustParsePrefix(t))
	}
	return out
}

// public says whether an address is of the public internet.
func public(a netip.Addr) bool {
	a = a.Unmap().WithZone("")
	for _, n := range special {
		if n.Contains(a) {
			return false
		}
	}
	return a.IsGlobalUnicast()
}

// guard refuses a connection to an address that is not public. It is asked with the
// very address that is dialled, after names were looked up: a name that gives another
// address the second time does not get past it.
func guard(_, address string, _ syscall.RawConn) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return err
	}
	a, err := netip.ParseAddr(host)
	if err != nil {
		return err
	}
	if !public(a) {
		return fmt.Errorf("%s: %w", a, errPrivate)
	}
	return nil
}
