namespace XoverOpt.Worker.Access;

/// <summary>What a route asks of whoever calls it.</summary>
/// <param name="Scope">The least scope; null where anybody may call.</param>
internal sealed record ScopeRule(Scope? Scope);

/// <summary>On a route whose answer goes on as long as the client listens.</summary>
internal sealed record StreamRule;

/// <summary>Says on a route what it asks. A route that says nothing is for admins.</summary>
internal static class ScopeRules
{
    /// <summary>The names of the scopes on the command line and in the store.</summary>
    public static IReadOnlyList<string> Names { get; } = ["read", "submit", "admin"];

    /// <summary>The name of a scope.</summary>
    public static string Name(Scope scope) => Names[(int)scope];

    /// <summary>The scope of a name; null if there is none of that name.</summary>
    public static Scope? Parse(string? name) => Names.ToList().IndexOf(name ?? "") is >= 0 and var index ? (Scope)index : null;

    /// <summary>Asks for a key of at least this scope, where there are keys.</summary>
    public static T RequireScope<T>(this T route, Scope scope)
        where T : IEndpointConventionBuilder => route.WithMetadata(new ScopeRule(scope));

    /// <summary>Says that the answer goes on and on, so that one client gets a few of them only.</summary>
    public static T IsStream<T>(this T route)
        where T : IEndpointConventionBuilder => route.WithMetadata(new StreamRule());

    /// <summary>Lets anybody call, with or without a key.</summary>
    public static T OpenToAll<T>(this T route)
        where T : IEndpointConventionBuilder => route.WithMetadata(new ScopeRule((Scope?)null));
}
