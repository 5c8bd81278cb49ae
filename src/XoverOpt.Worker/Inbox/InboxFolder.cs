using System.Text;
using XoverOpt.Worker.Queue;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Inbox;

/// <summary>
/// The watched folder: a job file dropped into it becomes a run, and the file goes to accepted/ with the run's id in its name, or to
/// refused/ with what is wrong beside it. The same content is the same run, however often it is dropped and wherever the process dies.
/// Folders, links and empty files are left lying; links are never followed. Not safe for threads; several processes may share a folder.
/// </summary>
internal sealed class InboxFolder(string root, Func<ReadOnlyMemory<byte>, IdempotencyKey, Intake> take, TimeSpan settle, TimeProvider clock, ILogger log)
{
    /// <summary>The marks under which dropped files are kept; no client may use one that begins so.</summary>
    public const string MarkPrefix = "inbox:";

    // What is not whole JSON may still be on its way, by a line that falters: it gets so many times longer.
    private const int Patience = 15;

    private readonly SettledFiles _settled = new(clock);
    private readonly HashSet<string> _told = [];

    /// <summary>Hears of each step, for tests that let the process die there.</summary>
    internal Action<InboxStep> AfterStep { get; init; } = _ => { };

    private string Taking => Path.Combine(root, ".taking");

    private string Accepted => Path.Combine(root, "accepted");

    private string Refused => Path.Combine(root, "refused");

    /// <summary>Looks at every file once. A file that cannot be dealt with now is looked at again next time.</summary>
    /// <exception cref="System.Data.Common.DbException">The store is away.</exception>
    /// <exception cref="IOException">The folder cannot be used.</exception>
    public void Look()
    {
        foreach (string folder in new[] { Taking, Accepted, Refused })
        {
            Directory.CreateDirectory(folder);
        }

        foreach (string path in Files(root))
        {
            Each(path, Take);
        }

        // Whatever lies here was taken by this process or by one that died since.
        foreach (string path in Files(Taking))
        {
            Each(path, Deal);
        }

        _settled.EndRound();
    }

    private void Take(string path)
    {
        if (_settled.Since(path) < settle)
        {
            return;
        }

        // Taken away under a name of its own, in one step, so that nothing dropped later under the same name can be mistaken for it.
        // Dying before leaves it where it was dropped, dying after leaves it in .taking: each look begins with both.
        string taken = Path.Combine(Taking, InboxNames.Taken(Path.GetFileName(path)));
        File.Move(path, taken, overwrite: true);
        _settled.Renamed(path, taken);
        AfterStep(InboxStep.Taken);
    }

    private void Deal(string path)
    {
        // Whoever had it open when it was taken may still be writing.
        TimeSpan unchanged = _settled.Since(path);
        if (unchanged < settle)
        {
            return;
        }

        string name = Path.GetFileName(path), shown = InboxNames.Shown(name);
        FaultList faults = new();
        byte[]? bytes = JsonSource.ReadBytes(path, faults, shown);
        if (!File.Exists(path) || _settled.Since(path) < settle)
        {
            return;
        }

        if (bytes is not null && JsonSource.Parse(shown, bytes, faults) is null && unchanged < settle * Patience)
        {
            return;
        }

        if (faults.Count > 0)
        {
            Refuse(path, name, faults.Items);
            return;
        }

        // The mark is the content's hash. Dying after this leaves a run that is kept and a file that is still in .taking: the next look
        // hands it in again, learns that it is known, and goes on to the same name.
        IdempotencyKey key = JobIntake.Key("", bytes);
        Intake intake = take(bytes, key with { Key = MarkPrefix + key.RequestHash });
        AfterStep(InboxStep.Kept);
        if (intake.Submission is not { } submission)
        {
            Refuse(path, name, [.. intake.Faults.Select(fault => fault.File == JobFile.PostedName ? fault with { File = shown } : fault)]);
            return;
        }

        // One step again: before it the file is in .taking, after it all is done. What it may replace has the same run and so the same content.
        File.Move(path, Path.Combine(Accepted, InboxNames.Accepted(name, submission.RunId)), overwrite: true);
        AfterStep(InboxStep.Filed);
        log.LogInformation(
            "Run {RunId}: {File} from the watched folder{Known}", submission.RunId, shown, submission.Kind == SubmissionKind.Known ? ", known already" : "");
    }

    private void Refuse(string path, string name, IReadOnlyList<Fault> faults)
    {
        // The faults first, under their last name only when whole. Dying before or after leaves the file in .taking: it is judged again
        // and the faults are written over.
        string beside = Path.Combine(Refused, InboxNames.Faults(name));
        File.WriteAllText(beside + ".new", string.Concat(faults.Select(fault => fault.Message + "\n")), new UTF8Encoding(false));
        File.Move(beside + ".new", beside, overwrite: true);
        AfterStep(InboxStep.FaultsWritten);

        // Dying after this leaves nothing to do.
        File.Move(path, Path.Combine(Refused, name), overwrite: true);
        AfterStep(InboxStep.Filed);
        log.LogWarning("The watched folder: {File} was refused, see {Faults}", InboxNames.Shown(name), beside);
    }

    /// <summary>The files that may be jobs, by name. A pipe or device has no length either, so it is never opened.</summary>
    private List<string> Files(string folder)
    {
        List<string> files = [];
        foreach (FileSystemInfo entry in new DirectoryInfo(folder).EnumerateFileSystemInfos().OrderBy(entry => entry.Name, StringComparer.Ordinal))
        {
            if (InboxNames.IsProvisional(entry.Name) || (entry is DirectoryInfo && entry.FullName is var path && (path == Path.GetFullPath(Accepted) || path == Path.GetFullPath(Refused))))
            {
                continue;
            }

            string? left = entry.LinkTarget is not null ? "a link" : entry is not FileInfo file ? "a folder"
                : !file.Exists ? "a name that is not UTF-8, or gone" : file.Length == 0 ? "an empty file" : null;
            if (left is null)
            {
                files.Add(entry.FullName);
            }
            else if (_told.Add(entry.FullName))
            {
                log.LogInformation("The watched folder: {File} is left lying ({Why})", InboxNames.Shown(entry.Name), left);
            }
        }

        return files;
    }

    private void Each(string path, Action<string> work)
    {
        try
        {
            work(path);
        }
        catch (Exception gone) when (gone is FileNotFoundException or DirectoryNotFoundException)
        {
            // Taken back by its owner, or dealt with by another worker on the same folder.
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            if (_told.Add(path + failure.Message))
            {
                log.LogWarning("The watched folder: {File} cannot be dealt with, trying again: {Failure}", InboxNames.Shown(Path.GetFileName(path)), failure.Message);
            }
        }
    }
}
