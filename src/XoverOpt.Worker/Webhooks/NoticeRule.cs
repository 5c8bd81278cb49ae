using System.Globalization;
using System.Net;
using System.Net.Sockets;
using XoverOpt.Worker.Host;

namespace XoverOpt.Worker.Webhooks;

/// <summary>
/// Which addresses may be told of a run's end. A job comes from whoever may hand one in, so it must not be able to make the worker
/// speak to the machines around it: only hosts the operator listed, and at those only public addresses, unless the address itself is
/// listed as a number.
/// </summary>
public sealed class NoticeRule
{
    // The special-purpose blocks of IPv4 that are not reachable from everywhere (IANA registry, RFC 6890), multicast (RFC 5771) and
    // the reserved rest (RFC 1112).
    private static readonly IPNetwork[] NotPublic =
    [
        .. new[]
        {
            "0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24", "192.0.2.0/24",
            "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24", "224.0.0.0/3",
        }.Select(block => IPNetwork.Parse(block)),
    ];

    // IPv6 gives out 2000::/3 only (RFC 4291); in it lie protocol assignments with Teredo, documentation, and 6to4, which carries IPv4
    // addresses of any kind.
    private static readonly IPNetwork Given = IPNetwork.Parse("2000::/3");

    private static readonly IPNetwork[] NotPublicInGiven =
        [.. new[] { "2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20" }.Select(block => IPNetwork.Parse(block))];

    private readonly HashSet<(string Host, int? Port)> _listed;

    /// <summary>The rule of a worker's settings.</summary>
    /// <exception cref="InvalidDataException">An entry is no host, or there is no secret to sign with.</exception>
    public NoticeRule(WorkerSettings settings)
    {
        if (settings.NotifyHosts.Count > 0 && settings.NotifySecret is not { Length: >= 16 })
        {
            throw new InvalidDataException("There are hosts to be told of a run's end, so there must be a secret of at least 16 characters to sign with.");
        }

        _listed = [.. settings.NotifyHosts.Select(Entry)];
    }

    /// <summary>What is wrong with an address, and what is allowed; null if it may be told.</summary>
    public (string Found, string Allowed)? Complaint(Uri address) => IsListed(address.IdnHost, address.Port, address.IsDefaultPort)
        ? null
        : ($"the host {address.Authority}", _listed.Count == 0
            ? "none; this worker tells nobody, until its settings list the host"
            : "a host that the worker's settings list: " + string.Join(", ", _listed.Select(Text).Order(StringComparer.Ordinal)));

    /// <summary>Whether a connection to an address may be made for a URL.</summary>
    /// <param name="address">What the host's name stands for right now.</param>
    /// <param name="url">What is to be told.</param>
    public bool MayConnect(IPAddress address, Uri url) => IsPublic(address) || IsListed(Plain(address).ToString(), url.Port, url.IsDefaultPort);

    /// <summary>Whether an address belongs to the open internet.</summary>
    public static bool IsPublic(IPAddress address)
    {
        IPAddress plain = Plain(address);
        return plain.AddressFamily == AddressFamily.InterNetwork
            ? !NotPublic.Any(block => block.Contains(plain))
            : plain.AddressFamily == AddressFamily.InterNetworkV6 && Given.Contains(plain) && !NotPublicInGiven.Any(block => block.Contains(plain));
    }

    private static IPAddress Plain(IPAddress address) => address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;

    private bool IsListed(string host, int port, bool usualPort)
    {
        string name = Name(host);
        return _listed.Contains((name, port)) || (usualPort && _listed.Contains((name, null)));
    }

    private static (string Host, int? Port) Entry(string text) =>
        Uri.TryCreate("http://" + text.Trim(), UriKind.Absolute, out Uri? uri) && uri.PathAndQuery == "/" && uri.UserInfo.Length == 0 && uri.Host.Length > 0
            && !text.Contains('/', StringComparison.Ordinal) && !text.Contains('*', StringComparison.Ordinal)
            ? (Name(uri.IdnHost), text.TrimEnd().EndsWith(string.Create(CultureInfo.InvariantCulture, $":{uri.Port}"), StringComparison.Ordinal) ? uri.Port : null)
            : throw new InvalidDataException($"'{text}' is no host to be told of a run's end; allowed: names or addresses such as example.org, example.org:8443 or 10.0.0.5.");

    // An address in any of its spellings, and a name in small letters without the dot at its end.
    private static string Name(string host) =>
        IPAddress.TryParse(host.Trim('[', ']'), out IPAddress? address) ? Plain(address).ToString() : host.TrimEnd('.').ToLowerInvariant();

    private static string Text((string Host, int? Port) entry) =>
        entry.Port is { } port ? string.Create(CultureInfo.InvariantCulture, $"{entry.Host}:{port}") : entry.Host;
}
