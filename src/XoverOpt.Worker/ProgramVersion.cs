using System.Reflection;

namespace XoverOpt.Worker;

/// <summary>The version of this program, as results record it.</summary>
internal static class ProgramVersion
{
    /// <summary>Such as "0.1.0".</summary>
    public static string Text { get; } =
        typeof(ProgramVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "unknown";
}
