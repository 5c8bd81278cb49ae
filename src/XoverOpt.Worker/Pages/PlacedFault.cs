using XoverOpt.Worker.Api;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Pages;

/// <summary>A fault as a page shows it.</summary>
/// <param name="Where">Its place in words: line, field, file.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed there.</param>
/// <param name="Hint">The likely fix.</param>
/// <param name="Line">Line of the text, 1 is the first; null where it is not known.</param>
internal sealed record PlacedFault(string Where, string Found, string Allowed, string? Hint, int? Line = null)
{
    /// <summary>A fault at its pointer.</summary>
    public static PlacedFault Of(Fault fault)
    {
        FaultView view = FaultView.Of(fault);
        return new(string.Join(' ', new[] { view.File, view.Pointer }.Where(word => !string.IsNullOrEmpty(word))), fault.Found, fault.Allowed, fault.Hint);
    }
}
