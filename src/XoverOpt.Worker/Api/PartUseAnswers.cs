using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Answers where a part is used, the same to API and command.</summary>
/// <param name="uses">The store.</param>
/// <param name="drawer">The drawer, for parts that no build uses; asked only for those. Null where there is none.</param>
internal sealed class PartUseAnswers(IPartUses uses, Func<Inventory?> drawer)
{
    /// <summary>The one name of a part that was asked for, or why there is none.</summary>
    /// <param name="asked">As typed.</param>
    /// <param name="fault">What is wrong; null where there is a name.</param>
    public string? Name(string asked, out Fault? fault)
    {
        fault = null;
        string typed = PartName.OfTyped(asked);
        if (uses.Kind(typed) is not null)
        {
            return typed;
        }

        Inventory? held = drawer();
        string[] known = [.. uses.Parts().Concat(held is null ? [] : Numbered(held)).Distinct()];
        if (known.FirstOrDefault(part => string.Equals(part, typed, StringComparison.OrdinalIgnoreCase)) is { } name)
        {
            return name;
        }

        fault = new(
            "part",
            "",
            $"\"{asked}\", which no stored build uses{(held is null ? "" : " and the drawer does not hold")}",
            "the number of a receiver, damper or tubing, or kind and value where a part has no number, such as \"resistor 39 Ω\"",
            Nearest.Hint(typed, known));
        return null;
    }

    /// <summary>A page of the builds that use a part.</summary>
    public PartUsesPage Uses(string part, BuildPlace? after, int take)
    {
        PartUseCount? count = uses.Count(part);
        IReadOnlyList<PartUse> page = uses.Uses(part, after, take + 1);
        string? next = page.Count <= take ? null : string.Create(
            CultureInfo.InvariantCulture, $"{Address(part)}/uses?limit={take}&after={page[take - 1].Build.RunId}:{page[take - 1].Build.Rank}");
        return new(part, Word(count?.Kind), count?.Builds ?? 0, count?.Runs ?? 0, [.. page.Take(take).Select(PartUseView.Of)], next);
    }

    /// <summary>A page of what jobs lose without a part.</summary>
    public PartWithoutPage Without(string part, string? afterRun, int take)
    {
        IReadOnlyList<PartLoss> page = uses.Without(part, afterRun, take + 1);
        string? next = page.Count <= take ? null : string.Create(CultureInfo.InvariantCulture, $"{Address(part)}/without?limit={take}&after={page[take - 1].RunId}");
        return new(part, Word(uses.Kind(part)), [.. page.Take(take).Select(PartLossView.Of)], next);
    }

    /// <summary>Address of a part in the API.</summary>
    public static string Address(string part) => $"/api/parts/{Uri.EscapeDataString(part)}";

    private static string? Word(PartKind? kind) => kind?.ToString().ToLowerInvariant();

    private static IEnumerable<string> Numbered(Inventory held) => held.Receivers.Select(receiver => receiver.Receiver.PartNumber)
        .Concat(held.Dampers.Concat(held.Tubings).Select(part => part.PartNumber).OfType<string>());
}
