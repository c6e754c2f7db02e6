//! Long work beside the frame loop: the newest question wins, answers come when they are there.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex};
use std::thread;

struct Slot<Q> {
    question: Option<Q>,
    works: bool,
    closed: bool,
}

/// A thread that answers questions. One that is asked while it works replaces the one that waits.
pub struct Worker<Q, A> {
    slot: Arc<(Mutex<Slot<Q>>, Condvar)>,
    answers: Receiver<A>,
}

impl<Q: Send + 'static, A: Send + 'static> Worker<Q, A> {
    /// `start` makes, on the thread itself, what answers a question; it may answer more than once by its second argument.
    /// `wake` is called after each answer.
    pub fn new<W, S>(name: &str, wake: impl Fn() + Send + 'static, start: S) -> Option<Self>
    where
        W: FnMut(Q, &dyn Fn(A)),
        S: FnOnce() -> W + Send + 'static,
    {
        let slot = Arc::new((Mutex::new(Slot { question: None, works: false, closed: false }), Condvar::new()));
        let (sender, answers): (Sender<A>, _) = channel();
        let inside = slot.clone();
        let run = move || {
            let mut work = start();
            while let Some(question) = next(&inside) {
                work(question, &|answer| {
                    let _ = sender.send(answer);
                    wake();
                });
                if let Ok(mut slot) = inside.0.lock() {
                    slot.works = false;
                }
                wake();
            }
        };
        thread::Builder::new().name(name.to_owned()).spawn(run).ok()?;
        Some(Self { slot, answers })
    }

    pub fn ask(&self, question: Q) {
        if let Ok(mut slot) = self.slot.0.lock() {
            slot.question = Some(question);
        }
        self.slot.1.notify_one();
    }

    /// Answers that have come since.
    pub fn answers(&self) -> Vec<A> {
        self.answers.try_iter().collect()
    }

    pub fn is_busy(&self) -> bool {
        self.slot.0.lock().is_ok_and(|slot| slot.works || slot.question.is_some())
    }
}

impl<Q, A> Drop for Worker<Q, A> {
    fn drop(&mut self) {
        if let Ok(mut slot) = self.slot.0.lock() {
            slot.closed = true;
        }
        self.slot.1.notify_one();
    }
}

fn next<Q>(slot: &(Mutex<Slot<Q>>, Condvar)) -> Option<Q> {
    let mut held = slot.0.lock().ok()?;
    loop {
        if held.closed {
            return None;
        }
        if let Some(question) = held.question.take() {
            held.works = true;
            return Some(question);
        }
        held = slot.1.wait(held).ok()?;
    }
}
