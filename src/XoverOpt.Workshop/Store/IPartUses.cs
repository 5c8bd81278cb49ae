using XoverOpt.Search;

namespace XoverOpt.Workshop.Store;

/// <summary>Where parts are used, answered from the stored builds. Safe from many threads.</summary>
public interface IPartUses
{
    /// <summary>What a part is; null where no stored build uses it. Quicker than to count.</summary>
    /// <param name="part">Its one name (<see cref="Purchasing.PartName"/>).</param>
    PartKind? Kind(string part);

    /// <summary>How often a part is used; null where no stored build uses it.</summary>
    /// <param name="part">Its one name (<see cref="Purchasing.PartName"/>).</param>
    PartUseCount? Count(string part);

    /// <summary>Every build that uses a part: those of the run handed in last first, then by rank.</summary>
    /// <param name="part">Its one name.</param>
    /// <param name="after">Begin after this build; null for the first.</param>
    /// <param name="take">At most this many.</param>
    IReadOnlyList<PartUse> Uses(string part, BuildPlace? after, int take);

    /// <summary>What each job loses that has a build with the part in a run that has ended: the one with the latest run first.</summary>
    /// <param name="part">Its one name.</param>
    /// <param name="afterRun">Begin after the job whose latest run this is; null for the first.</param>
    /// <param name="take">At most this many.</param>
    IReadOnlyList<PartLoss> Without(string part, string? afterRun, int take);

    /// <summary>The names of all parts that stored builds use, in the database's order of texts.</summary>
    IReadOnlyList<string> Parts();
}
