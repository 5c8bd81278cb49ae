using System.Text;
using XoverOpt.Worker.Webhooks;

namespace XoverOpt.Worker.Tests.Webhooks;

public sealed class NoticeSealTests
{
    // Worked out with OpenSSL 3: printf '1764300000\n{"id":"x"}' | openssl dgst -sha256 -hmac 'a secret of the workshop'
    [Fact]
    public void Of_TimeAndBody_IsTheHmacAnotherProgramGets() => Assert.Equal(
        "hmac-sha256=3e21cb45ed12c076bb537db609d4dffbab295ef5b5e95818d05b3f194ed4da6d",
        NoticeSeal.Of("a secret of the workshop", DateTimeOffset.FromUnixTimeSeconds(1764300000), Encoding.UTF8.GetBytes("{\"id\":\"x\"}")));
}
