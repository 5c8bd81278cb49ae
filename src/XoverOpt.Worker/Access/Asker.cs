namespace XoverOpt.Worker.Access;

/// <summary>Who makes a request.</summary>
/// <param name="Client">The key's name or else the address, for limits and logs.</param>
/// <param name="Granted">What they may do; null: nothing that asks for a key.</param>
/// <param name="Presented">Whether a key came with the request.</param>
internal sealed record Asker(string Client, Scope? Granted, bool Presented)
{
    /// <summary>Who makes this request.</summary>
    public static Asker Of(HttpContext context) => context.Features.Get<Asker>() ?? new Asker("nobody", null, Presented: false);
}
