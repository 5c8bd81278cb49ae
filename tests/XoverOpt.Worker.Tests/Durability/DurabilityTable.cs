using System.Globalization;
using System.Text;

namespace XoverOpt.Worker.Tests.Durability;

/// <summary>The rows of the table, printed when all cases are through.</summary>
public sealed class DurabilityTable : IDisposable
{
    private readonly List<DurabilityRow> _rows = [];

    public void Add(DurabilityRow row)
    {
        lock (_rows)
        {
            _rows.Add(row);
        }
    }

    public void Dispose()
    {
        StringBuilder text = new();
        text.AppendLine("What was done to it                                          times  accepted  finished  equal  doubled  lost  taken over within");
        foreach (DurabilityRow row in _rows)
        {
            text.AppendLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{row.Case,-60} {row.Times,5}  {row.Accepted,8}  {row.Finished,8}  {row.Equal,5}  {row.Doubled,7}  {row.Lost,4}  {(row.TakenOver is { } within ? $"{within.TotalSeconds:0.0} s" : "-")}"));
        }

        Console.WriteLine(text);
    }
}

/// <summary>What came of a case.</summary>
/// <param name="Case">What was done.</param>
/// <param name="Times">How often.</param>
/// <param name="Accepted">Runs handed in.</param>
/// <param name="Finished">Runs that ended with builds.</param>
/// <param name="Equal">Runs whose builds are those of the undisturbed one, character for character.</param>
/// <param name="Doubled">Runs with more than one end, or a checkpoint told twice.</param>
/// <param name="Lost">Runs whose events tell of no end.</param>
/// <param name="TakenOver">The longest time from a holder's loss to the next one's claim; null if none was lost.</param>
public sealed record DurabilityRow(string Case, int Times, int Accepted, int Finished, int Equal, int Doubled, int Lost, TimeSpan? TakenOver);
