using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;

namespace XoverOpt.Benchmarks;

/// <summary>Times and errors by kind of request, from many threads.</summary>
internal sealed class LoadTimes
{
    private readonly ConcurrentQueue<(string Kind, double Milliseconds, string? Error)> _answers = [];

    /// <summary>Makes a request and notes how it went.</summary>
    /// <param name="kind">Its kind.</param>
    /// <param name="request">Whether it was answered as it should be.</param>
    public async Task Of(string kind, Func<Task<bool>> request)
    {
        long start = Stopwatch.GetTimestamp();
        string? error;
        try
        {
            error = await request() ? null : "refused";
        }
        catch (Exception failure) when (failure is HttpRequestException or TaskCanceledException or IOException)
        {
            error = failure.GetType().Name;
        }

        _answers.Enqueue((kind, Stopwatch.GetElapsedTime(start).TotalMilliseconds, error));
    }

    /// <summary>Prints a line a kind.</summary>
    /// <returns>Whether there was no error.</returns>
    public bool Print()
    {
        Console.WriteLine($"{"request",-12}{"count",8}{"errors",8}{"median",9}{"95 %",9}{"99 %",9}{"most",9}  ms");
        foreach (IGrouping<string, (string Kind, double Milliseconds, string? Error)> kind in _answers.GroupBy(answer => answer.Kind).OrderBy(kind => kind.Key, StringComparer.Ordinal))
        {
            double[] sorted = [.. kind.Select(answer => answer.Milliseconds).Order()];
            double At(double share) => sorted[(int)Math.Ceiling(share * sorted.Length) - 1];
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{kind.Key,-12}{sorted.Length,8}{kind.Count(answer => answer.Error is not null),8}{At(0.5),9:0.0}{At(0.95),9:0.0}{At(0.99),9:0.0}{sorted[^1],9:0.0}"));
        }

        foreach (IGrouping<string?, (string Kind, double Milliseconds, string? Error)> error in _answers.Where(answer => answer.Error is not null).GroupBy(answer => answer.Error))
        {
            Console.WriteLine($"  {error.Count()} × {error.Key}");
        }

        return _answers.All(answer => answer.Error is null);
    }
}
