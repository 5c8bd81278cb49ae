using System.Net;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Webhooks;

namespace XoverOpt.Worker.Tests.Webhooks;

public sealed class NoticeRuleTests
{
    private const string Secret = "a secret of the workshop";

    // Blocks of the IANA special-purpose address registries (RFC 6890 and its updates), of multicast, and of documentation; then
    // addresses of the open internet: the root name servers a, k and m (IANA root hints).
    [Theory]
    [InlineData("0.0.0.0", false)]
    [InlineData("10.1.2.3", false)]
    [InlineData("100.64.0.1", false)]
    [InlineData("127.0.0.1", false)]
    [InlineData("127.255.255.254", false)]
    [InlineData("169.254.169.254", false)]
    [InlineData("172.16.0.1", false)]
    [InlineData("172.31.255.255", false)]
    [InlineData("192.0.0.8", false)]
    [InlineData("192.0.2.1", false)]
    [InlineData("192.168.1.1", false)]
    [InlineData("198.19.255.255", false)]
    [InlineData("198.51.100.7", false)]
    [InlineData("203.0.113.9", false)]
    [InlineData("224.0.0.1", false)]
    [InlineData("255.255.255.255", false)]
    [InlineData("::", false)]
    [InlineData("::1", false)]
    [InlineData("::ffff:10.0.0.1", false)]
    [InlineData("::ffff:127.0.0.1", false)]
    [InlineData("64:ff9b::a00:1", false)]
    [InlineData("2001::1", false)]
    [InlineData("2001:db8::1", false)]
    [InlineData("2002:a00:1::1", false)]
    [InlineData("fc00::1", false)]
    [InlineData("fd12:3456::1", false)]
    [InlineData("fe80::1", false)]
    [InlineData("ff02::1", false)]
    [InlineData("198.41.0.4", true)]
    [InlineData("193.0.14.129", true)]
    [InlineData("172.32.0.1", true)]
    [InlineData("::ffff:198.41.0.4", true)]
    [InlineData("2001:503:ba3e::2:30", true)]
    [InlineData("2001:dc3::35", true)]
    public void IsPublic_AddressOfARegisteredBlock_IsAsRegistered(string address, bool expected) =>
        Assert.Equal(expected, NoticeRule.IsPublic(IPAddress.Parse(address)));

    [Theory]
    [InlineData("https://hooks.example.org/x", true)]
    [InlineData("http://hooks.example.org/x", true)]
    [InlineData("https://HOOKS.example.org./x", true)]
    [InlineData("https://hooks.example.org:8443/", false)]
    [InlineData("https://bench.example.org:8443/", true)]
    [InlineData("https://bench.example.org/", false)]
    [InlineData("https://example.org/", false)]
    [InlineData("https://hooks.example.org.evil.example/", false)]
    [InlineData("https://hooks.example.org@evil.example/", false)]
    [InlineData("http://10.0.0.5/", true)]
    [InlineData("http://10.0.0.6/", false)]
    [InlineData("http://[::ffff:10.0.0.5]/", true)]
    [InlineData("http://167772165/", true)]
    [InlineData("http://0x7f.1/", false)]
    public void Complaint_Url_GoesByTheListedHosts(string url, bool allowed) => Assert.Equal(allowed, Rule().Complaint(new Uri(url)) is null);

    [Fact]
    public void MayConnect_PrivateAddressBehindAListedName_OnlyIfListedItself()
    {
        Uri url = new("https://hooks.example.org/x");

        Assert.True(Rule().MayConnect(IPAddress.Parse("198.41.0.4"), url));
        Assert.True(Rule().MayConnect(IPAddress.Parse("10.0.0.5"), url));
        Assert.False(Rule().MayConnect(IPAddress.Parse("10.0.0.6"), url));
        Assert.False(Rule().MayConnect(IPAddress.Loopback, url));
    }

    [Fact]
    public void Rule_NothingListed_AllowsNobody() =>
        Assert.Contains("tells nobody", new NoticeRule(new WorkerSettings()).Complaint(new Uri("https://example.org/"))!.Value.Allowed, StringComparison.Ordinal);

    [Theory]
    [InlineData("https://example.org", Secret)]
    [InlineData("*.example.org", Secret)]
    [InlineData("example.org/path", Secret)]
    [InlineData("", Secret)]
    [InlineData("example.org", null)]
    [InlineData("example.org", "short")]
    public void Rule_WrongEntryOrNoSecret_IsRefused(string host, string? secret) =>
        Assert.Throws<InvalidDataException>(() => new NoticeRule(new WorkerSettings { NotifyHosts = [host], NotifySecret = secret }));

    private static NoticeRule Rule() => new(new WorkerSettings
    {
        NotifyHosts = ["hooks.example.org", "bench.example.org:8443", "10.0.0.5"],
        NotifySecret = Secret,
    });
}
