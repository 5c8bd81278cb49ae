using System.Runtime.CompilerServices;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>Keeps the workers' everyday log lines out of the test output; warnings stay.</summary>
internal static class QuietLog
{
    [ModuleInitializer]
    internal static void Set() => Environment.SetEnvironmentVariable("Logging__LogLevel__Default", "Warning");
}
