namespace XoverOpt.Worker.Commands;

/// <summary>What the program tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>The input is wrong.</summary>
    public const int WrongInput = 1;

    /// <summary>The work could not be done.</summary>
    public const int CouldNotBeDone = 2;

    /// <summary>Stopped from outside.</summary>
    public const int Stopped = 130;
}
