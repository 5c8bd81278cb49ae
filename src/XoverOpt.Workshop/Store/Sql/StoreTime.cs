using System.Diagnostics.CodeAnalysis;

namespace XoverOpt.Workshop.Store.Sql;

/// <summary>Times as the databases keep them: milliseconds since 1970-01-01 UTC.</summary>
internal static class StoreTime
{
    public static long Of(DateTimeOffset time) => time.ToUnixTimeMilliseconds();

    public static DateTimeOffset Of(long time) => DateTimeOffset.FromUnixTimeMilliseconds(time);

    public static long Of(TimeSpan span) => (long)span.TotalMilliseconds;

    [return: NotNullIfNotNull(nameof(time))]
    public static DateTimeOffset? Of(long? time) => time is { } at ? Of(at) : null;

    public static long? Of(DateTimeOffset? time) => time is { } at ? Of(at) : null;
}
