namespace XoverOpt.Pages.Tests.Support;

/// <summary>Every page there is, by a name for it.</summary>
public static class Sights
{
    public static IReadOnlyList<string> Names { get; } = ["runs", "run", "build", "compare", "new", "new-file", "inspect", "pairs", "stop", "sign-in", "missing"];

    /// <summary>The path of a page.</summary>
    public static string Path(string name, Bench bench) => name switch
    {
        "runs" => "/",
        "run" => $"/runs/{bench.RunId}",
        "build" => $"/runs/{bench.RunId}/builds/1",
        "compare" => $"/compare?run={bench.RunId}&rank=1&rank=2&with={bench.OtherId}",
        "new" => "/new",
        "new-file" => $"/new?from={bench.OtherId}",
        "inspect" => $"/inspect?run={bench.OtherId}&rank=1",
        "pairs" => $"/pairs?run={bench.OtherId}&rank=1",
        "stop" => $"/runs/{bench.OtherId}/stop",
        "sign-in" => "/sign-in",
        "missing" => "/runs/nothing",
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "no such page"),
    };
}
