using System.Text.RegularExpressions;

namespace XoverOpt.Worker.Host;

/// <summary>Values as they may be shown and logged: without their secrets.</summary>
internal static partial class Shown
{
    /// <summary>A store: a folder as it is, a connection string without its password.</summary>
    public static string Store(string store) => Password().Replace(store, "$1=…");

    [GeneratedRegex("(password|pwd|passfile|sslpassword|ssl password)\\s*=\\s*('[^']*'|\"[^\"]*\"|[^;]*)", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Password();
}
