using System.Reflection;

namespace XoverOpt.Worker.Tests;

/// <summary>The one-way flow between the projects, as the compiled assemblies have it.</summary>
public sealed class AssemblyReferencesTests
{
    private static readonly string[] Runtime = ["System.", "Microsoft.CSharp", "netstandard", "mscorlib"];

    [Theory]
    [InlineData("XoverOpt.Acoustics", "MathNet.Numerics")]
    [InlineData("XoverOpt.Search", "MathNet.Numerics XoverOpt.Acoustics")]
    [InlineData("XoverOpt.Workshop", "MathNet.Numerics XoverOpt.Acoustics XoverOpt.Search Dapper Npgsql Microsoft.Data.Sqlite Microsoft.Extensions.Logging.Abstractions")]
    public void Assembly_References_OnlyWhatItMay(string assembly, string allowed)
    {
        string[] references = [.. Assembly.Load(assembly).GetReferencedAssemblies().Select(name => name.Name!)
            .Where(name => !Runtime.Any(prefix => name.StartsWith(prefix, StringComparison.Ordinal)))];

        Assert.Empty(references.Except(allowed.Split(' ')));
    }

    [Theory]
    [InlineData("XoverOpt.Acoustics")]
    [InlineData("XoverOpt.Search")]
    [InlineData("XoverOpt.Workshop")]
    public void Assembly_References_NoConsoleQueueOrWebServer(string assembly)
    {
        string[] references = [.. Assembly.Load(assembly).GetReferencedAssemblies().Select(name => name.Name!)];

        Assert.DoesNotContain(references, name => name == "System.Console" || name.StartsWith("Hangfire", StringComparison.Ordinal)
            || name.StartsWith("Microsoft.AspNetCore", StringComparison.Ordinal));
    }
}
