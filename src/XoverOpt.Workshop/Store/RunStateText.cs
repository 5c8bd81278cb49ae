namespace XoverOpt.Workshop.Store;

/// <summary>The names of the states in the store and the API.</summary>
public static class RunStateText
{
    private static readonly string[] Names = ["waiting", "running", "stopping", "done", "stopped", "failed"];

    /// <summary>Every name.</summary>
    public static IReadOnlyList<string> All => Names;

    /// <summary>The name of a state.</summary>
    public static string Of(RunState state) => Names[(int)state];

    /// <summary>The state of a name; null if there is none of that name.</summary>
    public static RunState? Parse(string name) => Array.IndexOf(Names, name) is >= 0 and var index ? (RunState)index : null;
}
