using System.Diagnostics.CodeAnalysis;

namespace XoverOpt.Workshop;

/// <summary>What came of reading an input: a value, or every fault that stands in its way.</summary>
/// <param name="Value">The value; null when there are faults.</param>
/// <param name="Faults">The faults; empty when there is a value.</param>
public sealed record Reading<T>(T? Value, IReadOnlyList<Fault> Faults)
    where T : class
{
    /// <summary>Whether there is a value.</summary>
    [MemberNotNullWhen(true, nameof(Value))]
    public bool IsGood => Value is not null;
}
