using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>One thing wrong with a request.</summary>
/// <param name="Pointer">JSON Pointer (RFC 6901) into the body, or the name of the header or parameter.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed there.</param>
/// <param name="Hint">The likely fix; absent where there is none.</param>
/// <param name="File">The inventory file the fault is in; absent where it is in the body.</param>
public sealed record FaultView(string Pointer, string Found, string Allowed, string? Hint = null, string? File = null)
{
    internal static FaultView Of(Fault fault) =>
        new(fault.Pointer, fault.Found, fault.Allowed, fault.Hint, fault.File == JobFile.PostedName ? null : fault.File);
}
