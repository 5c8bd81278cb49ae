using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace XoverOpt.Worker.Webhooks;

/// <summary>
/// Signs a notice, so that who gets it can tell that it is ours and how old it is: HMAC-SHA-256 (RFC 2104) with the worker's secret over
/// the time of sending in Unix seconds, a line feed, and the body as sent.
/// </summary>
public static class NoticeSeal
{
    /// <summary>Header with the time of sending, Unix seconds.</summary>
    public const string TimeHeader = "XoverOpt-Sent";

    /// <summary>Header with the seal.</summary>
    public const string SealHeader = "XoverOpt-Seal";

    /// <summary>Header with the id of the run.</summary>
    public const string RunHeader = "XoverOpt-Run";

    /// <summary>The value of the seal's header.</summary>
    public static string Of(string secret, DateTimeOffset sent, ReadOnlySpan<byte> body)
    {
        byte[] text = [.. Encoding.UTF8.GetBytes(Time(sent) + "\n"), .. body];
        return "hmac-sha256=" + Convert.ToHexStringLower(HMACSHA256.HashData(Encoding.UTF8.GetBytes(secret), text));
    }

    /// <summary>The value of the time's header.</summary>
    public static string Time(DateTimeOffset sent) => sent.ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture);
}
