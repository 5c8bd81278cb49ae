namespace XoverOpt.Search;

/// <summary>The search as a state machine: ask for an ordered batch, evaluate it anywhere, tell the results in order.</summary>
public sealed class LayoutSearch
{
    /// <summary>Starts a search.</summary>
    public LayoutSearch(Problem problem) => Problem = problem;

    /// <summary>Goes on from a saved state.</summary>
    public LayoutSearch(Problem problem, SearchState state) => Problem = problem;

    /// <summary>The problem.</summary>
    public Problem Problem { get; }

    /// <summary>Nothing is left to ask.</summary>
    public bool Done { get; } = true;

    /// <summary>How far it has come.</summary>
    public SearchProgress Progress => throw new NotImplementedException();

    /// <summary>The next batch (a few tenths of a second of work); empty when done.</summary>
    public IReadOnlyList<Trial> Ask() => throw new NotImplementedException();

    /// <summary>Evaluates one trial. Pure: the result depends on the trial only, never on thread or time.</summary>
    public TrialResult Evaluate(Trial trial) => throw new NotImplementedException();

    /// <summary>Takes the results of the batch asked last, in its order.</summary>
    public void Tell(IReadOnlyList<TrialResult> results) => throw new NotImplementedException();

    /// <summary>Ends the search early: what follows is only a short finish (under half a second) that makes the best so far buildable.</summary>
    public void Stop(StopReason reason) => throw new NotImplementedException();

    /// <summary>The state between batches.</summary>
    public SearchState Save() => throw new NotImplementedException();

    /// <summary>Ranked builds found so far.</summary>
    public SearchResult Result() => throw new NotImplementedException();
}

/// <summary>A piece of work.</summary>
public sealed record Trial(int Index);

/// <summary>What came of it.</summary>
public sealed record TrialResult(int Index);
