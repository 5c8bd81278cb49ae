namespace XoverOpt.Pages.Tests.Support;

/// <summary>Every page there is, by a name for it.</summary>
public static class Sights
{
    public static IReadOnlyList<string> Names { get; } = ["runs", "run", "build", "compare", "new", "new-file", "drawer", "part", "parts", "inspect", "pairs", "stop", "rerun", "changes", "sign-in", "missing"];

    /// <summary>The path of a page.</summary>
    public static string Path(string name, Bench bench) => name switch
    {
        "runs" => "/",
        "run" => $"/runs/{bench.RunId}",
        "build" => $"/runs/{bench.RunId}/builds/1",
        "compare" => $"/compare?run={bench.RunId}&rank=1&rank=2&with={bench.OtherId}",
        "new" => "/new",
        "new-file" => $"/new?from={bench.OtherId}",
        "drawer" => "/drawer",
        "part" => "/drawer/HI-1",
        "parts" => $"/parts?run={bench.RunId}&rank=1&sets=25&by=2030-01-31",
        "rerun" => $"/runs/{bench.OtherId}/rerun",
        "changes" => $"/runs/{bench.OtherId}/changes?from={bench.RunId}",
        "inspect" => $"/inspect?run={bench.OtherId}&rank=1",
        "pairs" => $"/pairs?run={bench.OtherId}&rank=1",
        "stop" => $"/runs/{bench.OtherId}/stop",
        "sign-in" => "/sign-in",
        "missing" => "/runs/nothing",
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "no such page"),
    };
}
